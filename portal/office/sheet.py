"""The office's sheet: open jobs grouped by whose move it is; or the ones with a promise in danger, the agreed ones, the found ones."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from urllib.parse import urlencode

from django.utils import timezone
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs import refs
from jobs.models import Job, Workshop
from jobs.words import Holder
from portal.office import asks, keyset
from portal.office.asks import Many
from portal.office.money import to_pay
from portal.office.rows import Row, axis_of, rows


@dataclass(frozen=True)
class Group:
    icon: str
    title: str
    many: Many | None
    rows: list[Row]


@dataclass(frozen=True)
class Sheet:
    """`more` is the query string of the next page, "" where this is the last."""

    groups: list[Group]
    axis_days: int
    more: str = ""
    note: str = ""


@dataclass(frozen=True)
class Block:
    """Jobs of one heading, before they are rows."""

    icon: str
    title: str
    many: Many | None
    jobs: list[Job]


def by_holder(house: Workshop, cursor: str) -> Sheet:
    """All open jobs. The cursor is the holder at whom the page before ended, and the place in it."""
    start, _sep, place = cursor.partition(":")
    holders = list(asks.OPEN_HOLDERS)
    if start in holders:
        holders = holders[holders.index(Holder(start)) :]
    blocks: list[Block] = []
    room = keyset.ROWS
    for holder in holders:
        from_here = keyset.read(place, datetime) if holder == start else None
        found = list(keyset.after(asks.held_by(holder).with_people(), "holder_since", from_here)[: room + 1])
        blocks.append(
            Block(holder, str(Holder(holder).label), asks.count(asks.held_by(holder)), found[:room])
        )
        if len(found) > room:
            last = found[room - 1] if room else None
            here = keyset.cursor_of(last, "holder_since") if last else ""
            return _sheet(house, blocks, urlencode({"after": f"{holder}:{here}"}))
        room -= len(found)
    return _sheet(house, blocks)


def by_promise(house: Workshop, cursor: str) -> Sheet:
    """Promises that are at risk or have passed, soonest first."""
    today = timezone.localdate()
    near = [job for jobs in asks.endangered(today) for job in jobs.with_people()[: asks.PROMISES_LOOKED_AT]]
    dangered = [
        job for job in near if job.likely_by and asks.promise_state(job.stage, job.likely_by, today) != "kept"
    ]
    dangered.sort(key=lambda job: (job.likely_by or today, job.pk))
    place = keyset.read(cursor, date)
    rest = [job for job in dangered if place is None or (job.likely_by, job.pk) > (place.value, place.pk)]
    title = _("Promises at risk, and passed")
    return _sheet(
        house, [Block("workshop", title, None, rest[: keyset.ROWS])], _more("promises", rest, "likely_by")
    )


def by_money(house: Workshop, cursor: str) -> Sheet:
    """First what somebody has to pay now; then what is agreed and not yet earned, the longest at its stage first."""
    place = keyset.read(cursor, datetime)
    found: list[Job] = []
    for stage in asks.working_stages():
        at_stage = keyset.after(Job.objects.with_people().filter(stage=stage), "stage_since", place)
        found += at_stage[: keyset.ROWS + 1]
    found.sort(key=lambda job: (job.stage_since, job.pk))
    waiting = [] if place else [job for job, _account in to_pay()]
    rest = [job for job in found[: keyset.ROWS] if job not in waiting]
    blocks = [
        Block("customer", _("Waits for payment"), None, waiting),
        Block("workshop", _("Agreed and not yet earned"), None, rest),
    ]
    return _sheet(house, blocks, _more("money", found, "stage_since"))


def found(house: Workshop, words: str) -> Sheet:
    """Every job, over or not, that the words fit; the newest first, fifty at most."""
    jobs = _by_reference(words) or list(
        Job.objects.with_people().found_by(words).order_by("-pk")[: keyset.ROWS]
    )
    note = (
        _("These are the newest fifty. Type another word to find fewer.") if len(jobs) == keyset.ROWS else ""
    )
    title = _("Found for “%(words)s”") % {"words": words}
    return _sheet(house, [Block("", title, Many(len(jobs)), jobs)], note=note)


SHOWN: dict[str, Callable[[Workshop, str], Sheet]] = {
    "": by_holder,
    "promises": by_promise,
    "money": by_money,
}
TABS: list[tuple[str, Promise]] = [
    ("", gettext_lazy("Answers")),
    ("promises", gettext_lazy("Promises")),
    ("money", gettext_lazy("Money")),
]


def _by_reference(words: str) -> list[Job]:
    """A reference as people write it, with O for 0 and so on, finds its one job."""
    try:
        return list(Job.objects.with_people().filter(ref=refs.tidy(words)))
    except refs.BadRef:
        return []


def _more(show: str, jobs: list[Job], field: str) -> str:
    if len(jobs) <= keyset.ROWS:
        return ""
    return urlencode({"show": show, "after": str(keyset.cursor_of(jobs[keyset.ROWS - 1], field))})


def _sheet(house: Workshop, blocks: list[Block], more: str = "", note: str = "") -> Sheet:
    jobs = [job for block in blocks for job in block.jobs]
    axis = axis_of(jobs)
    made = iter(rows(jobs, house, axis))
    groups = [
        Group(block.icon, block.title, block.many, [next(made) for _job in block.jobs]) for block in blocks
    ]
    return Sheet([group for group in groups if group.rows], axis, more, note)
