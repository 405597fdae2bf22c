"""Writes the letters that an entry of the journal leads to: rows, with their words, before anything is sent."""

import logging
from datetime import datetime
from uuid import uuid4

from django.db import transaction
from django.db.models.functions import Coalesce
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import override

from jobs.models import Customer, Entry, Kind, Workshop
from jobs.words import Way
from notifications import hours, links, pictures, render, short, ways
from notifications.models import Letter
from notifications.plan import Plan, why_not

log = logging.getLogger(__name__)

State = Letter.State


def write(entry: Entry, plan: Plan) -> list[Letter]:
    """Write what `plan` asks for, by every way that it takes. Called inside the transaction that marks the entry read.

    Somebody who cannot be reached has a letter too: one that was not sent, and says why.
    """
    person = None if plan.to_workshop else entry.job.customer
    chosen = entry.data.get("way", "") if entry.kind == Kind.NUDGED else ""
    return [write_by(entry, plan, way) for way in ways.ways_for(person, plan, chosen) or [Way.EMAIL]]


def write_by(entry: Entry, plan: Plan, way: Way) -> Letter:
    """Write it by one way."""
    letter = _address(entry, plan, way)
    with override(_language(None)):  # the office reads it
        letter.why = _no_address(letter) or why_not(plan, entry)
        letter.state = State.SKIPPED if letter.why else State.WAITING
        is_ours = letter.person_id is None  # never dead: nobody could tell us any more
        if letter.state == State.WAITING and not is_ours and ways.is_dead(way, letter.to_address):
            _refuse(letter, ways.dead_words(letter.to_address))
    compose(letter)
    if letter.state == State.WAITING:
        letter.next_attempt_at = _when(letter, plan)
    letter.save()
    return letter


def compose(letter: Letter) -> None:
    """Write what it says. A letter that cannot be written is a failed one that the office sees, and stops no other."""
    try:
        with transaction.atomic():
            if letter.channel == Way.EMAIL:
                _compose_mail(letter)
            else:
                short.write(letter)
    except (
        Exception
    ) as error:  # whatever is wrong with one letter's words must not hold up everybody else's letters
        log.exception("letter %s about entry %s could not be written", letter.kind, letter.entry_id)
        letter.state, letter.last_error = State.FAILED, f"{type(error).__name__}: {error}"[:400]


def thread(letter: Letter) -> str:
    """The ids of the first and the last letter about this job to this person: one conversation for each job.

    Only letters that have a message of their own count: not one that waits for company, which may travel inside another.
    """
    earlier = Letter.objects.filter(job=letter.job_id, person=letter.person_id, channel=Way.EMAIL)
    own = earlier.exclude(state__in=[State.SKIPPED, State.CARRIED]).exclude(urgent=False, state=State.WAITING)
    ordered = own.exclude(pk=letter.pk).order_by(Coalesce("sent_at", "made_at"), "pk")
    ids = list(ordered.values_list("message_id", flat=True))
    return " ".join(dict.fromkeys([*ids[:1], *ids[-1:]]))


def _compose_mail(letter: Letter) -> None:
    picture = pictures.picture_for(letter.entry, letter.kind)
    letter.photo, letter.picture = (picture.photo, picture.file) if picture else (None, "")
    written = render.written(letter, picture)
    letter.subject, letter.text, letter.html = written.subject, written.text, written.html


def _address(entry: Entry, plan: Plan, way: Way) -> Letter:
    person = None if plan.to_workshop else entry.job.customer
    uid = uuid4()
    letter = Letter(
        uid=uid,
        entry=entry,
        job=entry.job,
        person=person,
        channel=way,
        kind=plan.letter,
        essential=plan.essential,
        urgent=plan.urgent,
        language=_language(person),
        to_address=ways.address_on_file(person, way),
        message_id=links.message_id(uid),
    )
    letter.references = thread(letter) if way == Way.EMAIL else ""
    return letter


def _refuse(letter: Letter, reason: str) -> None:
    """There is no way. What they need to know shows in the office as a failed letter; progress is left out."""
    if letter.essential:
        letter.state, letter.last_error = State.FAILED, reason
    else:
        letter.state, letter.why = State.SKIPPED, reason


def _when(letter: Letter, plan: Plan) -> datetime:
    """When it goes: now, when there is company, or when it is day."""
    now = timezone.now()
    if not plan.urgent:
        return _behind(letter, hours.with_company(letter.person, now))
    if plan.by_day:
        return hours.by_day(letter.person, now)
    return now if letter.channel == Way.EMAIL else hours.not_at_night(letter.person, now)


def _behind(letter: Letter, at: datetime) -> datetime:
    """A little after the letter that will take this one along."""
    before = Letter.objects.filter(
        job=letter.job_id, person=letter.person_id, channel=letter.channel, urgent=False, state=State.WAITING
    )
    first = before.order_by("next_attempt_at").values_list("next_attempt_at", flat=True).first()
    return max(at, first + hours.BEHIND) if first else at


def _language(person: Customer | None) -> str:
    if person:
        return person.language
    house = Workshop.objects.current()
    return house.language if house else "en-gb"


def _no_address(letter: Letter) -> str:
    return "" if letter.to_address else _("There is no e-mail address to write to.")
