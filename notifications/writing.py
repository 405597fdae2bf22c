"""Writes a letter's row: to whom, what it says, which thread it belongs to, and whether it is to go at all."""

import logging
from uuid import uuid4

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import override

from jobs.models import Customer, Entry, Workshop
from notifications import links, pictures, render
from notifications.models import Letter
from notifications.plan import Plan, why_not

log = logging.getLogger(__name__)


def write(entry: Entry, plan: Plan) -> Letter:
    """Write the letter that `plan` asks for. Called inside the transaction that marks the entry read."""
    letter = _address(entry, plan)
    with override(_language(None)):  # the office reads it
        letter.why = _no_address(letter) or why_not(plan, entry)
    letter.state = Letter.State.SKIPPED if letter.why else Letter.State.WAITING
    compose(letter)
    if letter.state == Letter.State.WAITING:
        letter.next_attempt_at = timezone.now()
    letter.save()
    return letter


def compose(letter: Letter) -> None:
    """Write what it says. A letter that cannot be written is a failed one that the office sees, and stops no other."""
    picture = pictures.picture_for(letter.entry, letter.kind)
    letter.photo, letter.picture = (picture.photo, picture.file) if picture else (None, "")
    try:
        with transaction.atomic():
            written = render.written(letter, picture)
    except (
        Exception
    ) as error:  # whatever is wrong with one letter's words must not hold up everybody else's letters
        log.exception("letter %s about entry %s could not be written", letter.kind, letter.entry_id)
        letter.state, letter.last_error = Letter.State.FAILED, f"{type(error).__name__}: {error}"[:400]
        return
    letter.subject, letter.text, letter.html = written.subject, written.text, written.html


def _address(entry: Entry, plan: Plan) -> Letter:
    person = None if plan.to_workshop else entry.job.customer
    uid = uuid4()
    return Letter(
        uid=uid,
        entry=entry,
        job=entry.job,
        person=person,
        kind=plan.letter,
        essential=plan.essential,
        language=_language(person),
        to_address=address_of(person),
        message_id=links.message_id(uid),
        references=_thread(entry, person),
    )


def address_of(person: Customer | None) -> str:
    """Where letters to this person go now; None is the workshop itself. "" when there is nowhere."""
    if person:
        return person.email
    house = Workshop.objects.current()
    return house.email if house else ""


def _language(person: Customer | None) -> str:
    if person:
        return person.language
    house = Workshop.objects.current()
    return house.language if house else "en-gb"


def _no_address(letter: Letter) -> str:
    return "" if letter.to_address else _("There is no e-mail address to write to.")


def _thread(entry: Entry, person: Customer | None) -> str:
    """The ids of the first and the last letter about this job to this person: one conversation for each job."""
    earlier = Letter.objects.filter(job=entry.job_id, person=person).exclude(state=Letter.State.SKIPPED)
    ids = list(earlier.order_by("pk").values_list("message_id", flat=True))
    return " ".join(dict.fromkeys([*ids[:1], *ids[-1:]]))
