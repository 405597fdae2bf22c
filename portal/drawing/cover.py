"""The warranty: one rail a promise, all on one axis of months, and today across them."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from django.utils.formats import date_format
from django.utils.translation import gettext

from .rail import WIDTH, Axis, Label, label, rail, ticks, without_collisions

ROW = 22.0
MIDDLE = ROW / 2
AXIS_HEIGHT = 34.0
AXIS_RAIL = 6.0
STOP = 9.0


@dataclass(frozen=True, slots=True)
class Promise:
    """What is covered and until when, that day included; `until` is None for what is named as not covered."""

    what: str
    until: date | None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """One promise on its rail. `state` is running, ended or none."""

    what: str
    note: str
    until: date | None
    state: str
    line: str
    stop: str
    now: str
    end_x: float

    @property
    def line_class(self) -> str:
        """In force is a thick line, over a thin one, never covered a dotted one."""
        return {"running": "span", "ended": "tick", "none": "none"}[self.state]


@dataclass(frozen=True, slots=True)
class Cover:
    rows: list[Row]
    rail: str
    short_ticks: str
    long_ticks: str
    labels: list[Label]
    ring: float | None
    width: float = WIDTH
    row_height: float = ROW
    height: float = AXIS_HEIGHT
    rail_y: float = AXIS_RAIL
    label_y: float = 30.0


def draw(promises: Iterable[Promise], starts: date, today: date) -> Cover:
    """Rows in the order given. The axis runs from the first day of the warranty to the last day of the longest promise."""
    promises = list(promises)
    last = max([each.until for each in promises if each.until] + [starts + timedelta(days=28)])
    axis = Axis(starts.toordinal(), last.toordinal())
    now = axis.place(today.toordinal()) if starts <= today <= last else None
    months = _firsts(starts, last)
    long = [month for month in months if month.month % 3 == 1] if len(months) > 6 else months
    short = [month for month in months if month not in long]
    return Cover(
        rows=[_row(each, axis, starts, last, today, now) for each in promises],
        rail=rail(AXIS_RAIL),
        short_ticks=ticks((axis.place(month.toordinal()) for month in short), AXIS_RAIL, 5.0),
        long_ticks=ticks((axis.place(month.toordinal()) for month in long), AXIS_RAIL, 9.0),
        labels=_labels(axis, starts, last, now),
        ring=now,
    )


def _row(promise: Promise, axis: Axis, starts: date, last: date, today: date, now: float | None) -> Row:
    begin = axis.place(starts.toordinal())
    end = axis.place((promise.until or last).toordinal())
    state = "none" if promise.until is None else "ended" if promise.until < today else "running"
    return Row(
        what=promise.what,
        note=promise.note,
        until=promise.until,
        state=state,
        line=f"M{begin:g} {MIDDLE:g}H{end:g}",
        stop=f"M{end:g} {MIDDLE - STOP:g}v{2 * STOP:g}" if promise.until else "",
        now=f"M{now:g} 0V{ROW:g}" if now is not None else "",
        end_x=end,
    )


def _firsts(starts: date, last: date) -> list[date]:
    """First days of the months in between."""
    found, year, month = [], starts.year, starts.month
    while (first := date(year, month, 1)) <= last:
        if first >= starts:
            found.append(first)
        year, month = (year + 1, 1) if month == 12 else (year, month + 1)
    return found


def _labels(axis: Axis, starts: date, last: date, now: float | None) -> list[Label]:
    """Today, then the first and the last month; a label that would touch another is left out."""
    wanted = [label(now, gettext("today"), strong=True)] if now is not None else []
    wanted += [label(axis.place(day.toordinal()), _month(day)) for day in (last, starts)]
    return without_collisions(wanted)


def _month(day: date) -> str:
    return date_format(day, gettext("M Y"))


@dataclass(frozen=True, slots=True)
class Verdict:
    """The answer to "is this covered?": the ring inside the span (yes), past the stop (no), or on a broken span (we must look)."""

    span: str
    stop: str
    ring: float
    is_broken: bool
    width: float = 300.0
    height: float = ROW


def verdict(kind: str) -> Verdict:
    """`kind` is yes, no or look. Raises KeyError for any other."""
    end, ring, broken = {
        "yes": (230.0, 120.0, False),
        "no": (120.0, 210.0, False),
        "look": (230.0, 120.0, True),
    }[kind]
    return Verdict(f"M4 {MIDDLE:g}H{end:g}", f"M{end:g} 2v18", ring, broken)
