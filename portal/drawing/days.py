"""The office's rails: days waited with the nudges, and where a promise lies from today. The axis is drawn once, in the head."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.utils.translation import gettext

from .rail import Axis, Label, bracket, index, rail, ticks

WAITED_WIDTH = 132.0
PROMISED_WIDTH = 168.0
HEIGHT = 20.0
RAIL = 14.0
FOOT = 18.0
WEEKS_BACK, WEEKS_ON = 1, 5


@dataclass(frozen=True, slots=True)
class Waited:
    """One row: the span from the day the move passed to today, a stroke above it for each nudge."""

    rail: str
    span: str
    ring: float
    nudges: list[str]
    width: float = WAITED_WIDTH
    height: float = HEIGHT
    rail_y: float = RAIL


@dataclass(frozen=True, slots=True)
class Head:
    """The axis above a column of rails."""

    rail: str
    ticks: str
    labels: list[Label]
    width: float
    height: float = 22.0


@dataclass(frozen=True, slots=True)
class Promised:
    """One row: index and reach against the line of today. `state` is kept, at_risk or passed."""

    rail: str
    now: str
    reach: str
    index: str
    index_x: float
    state: str
    width: float = PROMISED_WIDTH
    height: float = HEIGHT


def longest(waited: Iterable[int], least: int = 28) -> int:
    """Length of the axis in days: whole weeks, four at least, so that the longest wait fits."""
    most = max([*waited, least])
    return -(-most // 7) * 7


def waited(days: int, nudges: Sequence[int], axis_days: int) -> Waited:
    """`nudges` are days after the move passed. Raises ValueError for negative days."""
    if days < 0:
        raise ValueError(days)
    axis = Axis(0, axis_days, WAITED_WIDTH)
    x = axis.place(days)
    strokes = [f"M{axis.place(day):g} 3v6" for day in nudges if 0 <= day <= days]
    return Waited(rail(RAIL, WAITED_WIDTH), f"M{axis.place(0):g} {RAIL:g}H{x:g}", x, strokes)


def waited_head(axis_days: int) -> Head:
    """Ticks by the week; figures at the start, the middle and the end."""
    axis = Axis(0, axis_days, WAITED_WIDTH)
    weeks = range(0, axis_days + 1, 7)
    middle = min(weeks, key=lambda day: abs(day - axis_days / 2))
    figures = [Label(axis.place(day), str(day)) for day in sorted({0, middle, axis_days})]
    marks = ticks((axis.place(day) for day in weeks), FOOT, -6.0)
    return Head(rail(FOOT, WAITED_WIDTH), marks, figures, WAITED_WIDTH)


def _promise_axis(today: date) -> Axis:
    first, last = today - timedelta(weeks=WEEKS_BACK), today + timedelta(weeks=WEEKS_ON)
    return Axis(first.toordinal(), last.toordinal(), PROMISED_WIDTH)


def promised(today: date, likely: date, surely: date, work_left_days: int = 0) -> Promised:
    """At risk where the work left reaches past the likely day; passed where that day is over."""
    axis = _promise_axis(today)
    x1, x2 = axis.place(likely.toordinal()), axis.place(max(likely, surely).toordinal())
    reach = bracket(x1, x2, 5.0, 16.0, left_foot=8.0) if x2 - x1 >= 6 else ""
    return Promised(
        rail=rail(FOOT, PROMISED_WIDTH),
        now=f"M{axis.place(today.toordinal()):g} 0V{HEIGHT:g}",
        reach=reach,
        index=index(x1, FOOT, half=5.0, height=9.0),
        index_x=x1,
        state=state(today, likely, work_left_days),
    )


def state(today: date, likely: date, work_left_days: int = 0) -> str:
    """kept, at_risk or passed."""
    if likely < today:
        return "passed"
    if today + timedelta(days=work_left_days) > likely:
        return "at_risk"
    return "kept"


def promised_head(today: date) -> Head:
    """Ticks by the week; today, and two and four weeks on."""
    axis = _promise_axis(today)
    days = [today + timedelta(weeks=n) for n in range(-WEEKS_BACK, WEEKS_ON + 1)]
    marks = ticks((axis.place(day.toordinal()) for day in days), FOOT, -6.0)
    labels = [Label(axis.place(today.toordinal()), gettext("today"), strong=True)]
    for weeks in (2, 4):
        there = axis.place((today + timedelta(weeks=weeks)).toordinal())
        labels.append(Label(there, gettext("%(n)s wk") % {"n": weeks}))
    return Head(rail(FOOT, PROMISED_WIDTH), marks, labels, PROMISED_WIDTH)
