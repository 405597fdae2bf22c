"""One thing owed as one row of the office's page. All rows of a page are read together: the number of queries does not grow with them."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs import money
from jobs.models import Job, Workshop
from jobs.words import Owes, Tone, Way
from notifications.models import Letter, Nudge, Owing, Pause
from portal.drawing import days
from portal.storage import Storage, storage_of

IN_ALL = 10  # people weigh "three in ten" better than 0.3 (common practice, no source)
BY_WAY: dict[str, Promise] = {
    Way.EMAIL: gettext_lazy("by e-mail"),
    Way.TEXT: gettext_lazy("by text message"),
    Way.PUSH: gettext_lazy("to their device"),
}
A_NUDGE: dict[str, Promise] = {
    Tone.KIND: gettext_lazy("a kind reminder"),
    Tone.PLAIN: gettext_lazy("a plain reminder"),
    Tone.LAST: gettext_lazy("the last reminder"),
}


@dataclass(frozen=True)
class Row:
    """`next`: what follows, in words. `ring`: that is for the telephone. `by_itself`: tenths of a chance within a week."""

    owing: Owing
    job: Job
    days: int
    rail: days.Waited
    next: str
    ring: bool
    because: str  # why it is paused, "" where nobody said
    opened: bool  # their page, since it was asked
    letter: Letter | None
    money: str  # "" for none
    gain: str
    by_itself: int
    storage: Storage | None  # the day from which on the workshop's terms count

    @property
    def may_nudge(self) -> bool:
        return self.owing.state in (Owing.State.CHASED, Owing.State.CALL)

    @property
    def is_paused(self) -> bool:
        return self.owing.state == Owing.State.PAUSED


@dataclass(frozen=True)
class Told:
    """What the rows of one page need beside themselves."""

    letters: dict[int, Letter]  # by job
    pauses: dict[int, Pause]  # by job
    nudges: dict[str, list[datetime]]  # by thing
    axis_days: int
    house: Workshop | None  # where something is to be collected


def rows(owings: Sequence[Owing], axis_days: int = 0) -> list[Row]:
    """Three queries for any number of rows, and one more where something is to be collected.

    `axis_days`: length of the axis of days waited; 0 lets the longest wait decide.
    """
    told = _read(owings, axis_days or axis_of(owings))
    return [_row(owing, told) for owing in owings]


def axis_of(owings: Sequence[Owing]) -> int:
    return days.longest(days_waited(owing) for owing in owings)


def days_waited(owing: Owing) -> int:
    """Days on the calendar since it was asked."""
    return max(0, (timezone.localdate() - timezone.localdate(owing.since)).days)


def _read(owings: Sequence[Owing], axis_days: int) -> Told:
    jobs = [owing.job_id for owing in owings]
    nudges: dict[str, list[datetime]] = defaultdict(list)
    sent = Nudge.objects.filter(thing__in=[owing.thing for owing in owings])
    for thing, at in sent.values_list("thing", "at"):
        nudges[thing].append(at)
    to_collect = any(owing.about == Owes.COLLECTION for owing in owings)
    house = Workshop.objects.current() if to_collect else None
    return Told(Letter.objects.last_of(jobs), Pause.objects.in_bulk(jobs), nudges, axis_days, house)


def _row(owing: Owing, told: Told) -> Row:
    since = timezone.localdate(owing.since)
    strokes = [(timezone.localdate(at) - since).days for at in told.nudges[owing.thing]]
    waited = days_waited(owing)
    pause = told.pauses.get(owing.job_id)
    return Row(
        owing=owing,
        job=owing.job,
        days=waited,
        rail=days.waited(waited, strokes, told.axis_days),
        next=next_words(owing, pause),
        ring=owing.state == Owing.State.CALL,
        because=pause.because if pause and owing.state == Owing.State.PAUSED else "",
        opened=bool(owing.job.opened_at and owing.job.opened_at >= owing.since),
        letter=told.letters.get(owing.job_id),
        money=money.show(owing.money, owing.currency) if owing.money else "",
        gain=_about(owing.gain, owing.currency),
        by_itself=round(owing.chance * IN_ALL),
        storage=storage_of(owing, told.house),
    )


def next_words(owing: Owing, pause: Pause | None) -> str:
    """What happens next if nobody does anything."""
    if owing.state == Owing.State.OURS:
        return _("answer their question")
    if owing.state == Owing.State.PAUSED:
        until = pause.until if pause else None
        return _("put off until %(day)s") % {"day": _day(until)} if until else _("paused")
    if owing.state == Owing.State.CALL or owing.next_on is None:
        return _("ring")
    nudge = A_NUDGE.get(owing.next_tone, A_NUDGE[Tone.KIND])
    words = {"nudge": nudge, "way": BY_WAY.get(owing.next_way, BY_WAY[Way.EMAIL]), "day": _day(owing.next_on)}
    if owing.next_on <= timezone.localdate():
        return _("%(nudge)s goes today, %(way)s") % words
    return _("%(nudge)s goes %(day)s, %(way)s") % words


def _day(day: date) -> str:
    return date_format(day, "D j M")


def _about(minor: int, currency: str) -> str:
    """To whole units: it is an estimate, and pennies would say that it is not. "" for less than one."""
    whole = 10 ** money.places(currency)
    rounded = (minor + whole // 2) // whole * whole
    return money.show(rounded, currency) if rounded > 0 else ""
