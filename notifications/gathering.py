"""One letter, not five: a letter that could wait takes along what else waits for the same person about the same job.

When it is claimed and about to go, the others become its sections and are *carried*: their rows say so, and lead to its Message-ID.
All of it happens in one transaction inside the job's lock and by conditional UPDATEs, so two workers cannot take the same letter,
and a crash leaves either all or nothing done: what is carried stays carried while its carrier is tried again. Urgent letters neither
wait nor carry.
"""

import logging

from django.db import transaction
from django.db.models import Q, QuerySet
from django.utils import timezone
from django.utils.translation import override

from jobs.models import Job, Workshop
from jobs.words import Way
from notifications import claiming, pictures, render, writing
from notifications.models import Letter
from notifications.pictures import Picture
from notifications.plan import plan_of, why_not

log = logging.getLogger(__name__)

State = Letter.State
PICTURES_TOGETHER = 100_000  # bytes of all photographs inside one letter
LARGEST = 95_000  # bytes of HTML; a widely used mail program cuts a letter off at 102 kB (common practice, no source)
COMPOSED = ("subject", "text", "html", "photo", "picture", "essential", "references")


def gather(letter: Letter) -> bool:
    """Take along what waits for the same reader. Called with a claimed letter before it is sent; changes it and its row.

    False: another letter of the same round has taken this one along meanwhile, so there is nothing to send.
    """
    if letter.urgent or letter.person_id is None or letter.channel != Way.EMAIL:
        return True
    if (
        letter.by_hand or letter.doubts
    ):  # asked for as it is; or it may have arrived, and a second copy has to be the same
        return True
    before = {name: getattr(letter, name) for name in COMPOSED}
    try:
        with transaction.atomic():
            Job.objects.select_for_update(of=("self",)).get(pk=letter.job_id)
            if not claiming.mine(letter).exists():
                return False
            _settle(letter)
    except (
        Exception
    ):  # whatever is wrong with the words of one of them, or with the rows: then each goes alone
        log.exception("letter %s could not take others along", letter.pk)
        for name, value in before.items():
            setattr(letter, name, value)
    return True


def may_have_gone_with_others(letter: Letter) -> bool:
    """It carries others and may have arrived: it is sent again as it was, whatever has become of its own news."""
    return bool(letter.doubts and not letter.urgent and letter.carries.exists())


def let_go(carrier: Letter) -> None:
    """Its carrier will not go: what it carried waits again, each for itself."""
    waiting = {"state": State.WAITING, "carried_by": None, "next_attempt_at": timezone.now()}
    Letter.objects.filter(state=State.CARRIED, carried_by=carrier).update(**waiting)


def _settle(letter: Letter) -> None:
    company = list(_company(letter))
    if _unwanted(letter):  # it will not go; whoever it carried goes without it
        let_go(letter)
        return
    wanted = [each for each in company if not _drop(each)]
    taken = [each for each in _that_fit(letter, wanted) if _take(each, letter)]
    if company:
        _compose(letter, taken)
    letter.references = writing.thread(letter)
    fields = COMPOSED if company else ("references",)
    claiming.mine(letter).update(**{name: getattr(letter, name) for name in fields})


def _company(letter: Letter) -> QuerySet[Letter]:
    """What this letter carries, and what else waits: also what the same worker has claimed in the same stroke and not begun."""
    near = Letter.objects.filter(
        job=letter.job_id,
        person=letter.person_id,
        channel=letter.channel,
        urgent=False,
        by_hand=False,
        doubts=0,
    )
    found = near.exclude(pk=letter.pk).filter(_free(letter) | Q(state=State.CARRIED, carried_by=letter.pk))
    return found.select_related("entry", "person", "job__item", "job__customer").order_by("entry__seq")


def _free(letter: Letter) -> Q:
    same_stroke = Q(state=State.SENDING, lease_token=letter.lease_token, handed_at=None)
    return Q(state=State.WAITING) | same_stroke


def _unwanted(letter: Letter) -> str:
    """Why a letter is no longer worth sending, in the words of the office."""
    letter.entry.job = letter.job
    house = Workshop.objects.current()
    with override(house.language if house else "en-gb"):
        try:
            return why_not(plan_of(letter), letter.entry)
        except KeyError:
            return ""


def _drop(letter: Letter) -> bool:
    """Leave one out that is no longer worth it."""
    reason = _unwanted(letter)
    if reason:
        fields = {"state": State.SKIPPED, "why": reason, "carried_by": None, "next_attempt_at": None}
        _unmoved(letter).update(**fields, lease_token=None, lease_until=None)
    return bool(reason)


def _that_fit(carrier: Letter, wanted: list[Letter]) -> list[Letter]:
    """What it carries already, and of the others as many as keep it below the size at which it would be cut off. The rest waits on."""
    room, fitting = LARGEST - len(carrier.html.encode()), []
    for each in wanted:
        new = each.state != State.CARRIED
        room -= len(each.html.encode()) if new else 0  # alone it is longer than its section will be
        if room < 0 and new:
            continue  # what comes after it may be carried already, and would be lost
        fitting.append(each)
    return fitting


def _take(letter: Letter, carrier: Letter) -> bool:
    """Make one part of the carrier. False when another worker has it by now."""
    fields = {"state": State.CARRIED, "carried_by": carrier, "next_attempt_at": None, "woken_at": None}
    taken = _unmoved(letter).update(**fields, lease_token=None, lease_until=None, last_error="", trouble="")
    return bool(taken)


def _unmoved(letter: Letter) -> QuerySet[Letter]:
    """The row as long as nobody has changed its state since it was read."""
    return Letter.objects.filter(pk=letter.pk, state=letter.state, lease_token=letter.lease_token)


def _compose(carrier: Letter, taken: list[Letter]) -> None:
    """Write the words anew: as one letter with sections, or alone again when nothing is left to carry."""
    parts = sorted([carrier, *taken], key=lambda each: each.entry.seq)
    carrier.essential = any(_is_essential(each) for each in parts)  # the foot says which it is
    if not taken:
        writing.compose(carrier)
        return
    together = render.gathered(carrier, _with_pictures(parts))
    carrier.subject, carrier.text, carrier.html = together.subject, together.text, together.html
    for each in taken:
        Letter.objects.filter(pk=each.pk).update(photo=each.photo, picture=each.picture)


def _is_essential(letter: Letter) -> bool:
    """By its plan: the row of a carrier speaks for all that it carries."""
    try:
        return plan_of(letter).essential
    except KeyError:
        return letter.essential


def _with_pictures(parts: list[Letter]) -> list[tuple[Letter, Picture | None]]:
    """Each part with its photograph, as long as together they stay small."""
    room, dressed = PICTURES_TOGETHER, []
    for part in parts:
        picture = pictures.picture_for(part.entry, part.kind, room)
        part.photo, part.picture = (picture.photo, picture.file) if picture else (None, "")
        room -= picture.size if picture else 0
        dressed.append((part, picture))
    return dressed
