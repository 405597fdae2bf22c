"""The engraved scale for dates and for money: rail, ticks, index, reach, stop and ring.

Index is what we expect, reach how far it may go, stop what may not be passed, ring where we are now.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache

from django.utils.formats import date_format
from django.utils.translation import get_language, gettext

from .rail import INSET, WIDTH, Axis, Label, bracket, index, label, rail, ticks, without_collisions

HEIGHT = 56.0
RAIL = 28.0
TOP = 8.0
LEG = RAIL - 4
INDEX_TOP = RAIL - 14
STOP_REACH = 12.0
LABELS = 51.0
SHORT, LONG = 5.0, 9.0
LEAST_REACH = 9.0  # a bracket narrower than this cannot be told from a line
A_FORTNIGHT = 14


@dataclass(frozen=True, slots=True)
class Scale:
    """A scale, ready to draw. Path data are strings; `ring` is None where now is not on the scale."""

    rail: str
    short_ticks: str
    long_ticks: str
    labels: list[Label]
    index: str = ""
    index_x: float | None = None
    hollow: bool = False
    reach: str = ""
    reach_from: float | None = None
    reach_to: float | None = None
    stop: str = ""
    stop_x: float | None = None
    ring: float | None = None
    width: float = WIDTH
    height: float = HEIGHT
    rail_y: float = RAIL
    label_y: float = LABELS


def day_text(day: date) -> str:
    """ "30 Oct", as the reader's language writes it."""
    return written(day, gettext("j M"), get_language())


@lru_cache(maxsize=4096)
def written(day: date, form: str, language: str | None) -> str:
    """`date_format` of a day in `language`, which is the active one; kept, because a list writes the same few days over and over."""
    return date_format(day, form)


def dates(today: date, likely: date, surely: date | None = None, earliest: date | None = None) -> Scale:
    """A promise: likely by, almost surely by. `surely` before `likely` is read as `likely`; a passed promise gets a hollow index.

    Without `earliest` the reach hangs from the index; with it, it is a whole bracket around the index.
    """
    surely = max(likely, surely or likely)
    earliest = min(earliest, likely) if earliest else likely
    axis, first, last = _span_of_days(min(today, earliest), max(today, surely))
    short, long = _day_ticks(first, last)
    x = axis.place(likely.toordinal())
    x1, x2 = axis.place(earliest.toordinal()), axis.place(surely.toordinal())
    now = axis.place(today.toordinal())
    return Scale(
        rail=rail(RAIL),
        short_ticks=ticks((axis.place(day.toordinal()) for day in short), RAIL, SHORT),
        long_ticks=ticks((axis.place(day.toordinal()) for day in long), RAIL, LONG),
        labels=_day_labels(axis, long, now, (x1 + x2) / 2),
        index=index(x, RAIL - 1),
        index_x=x,
        hollow=likely < today,
        reach=_reach(x1, x2, hanging=x1 == x),
        reach_from=x1,
        reach_to=x2,
        ring=now,
    )


def _reach(x1: float, x2: float, hanging: bool) -> str:
    if x2 - x1 < LEAST_REACH:
        return ""
    return bracket(x1, x2, TOP, LEG, left_foot=INDEX_TOP if hanging else None)


def _span_of_days(first: date, last: date) -> tuple[Axis, date, date]:
    """An axis with a little air at both ends, never shorter than a fortnight."""
    days = max((last - first).days, A_FORTNIGHT)
    air = timedelta(days=max(2, days // 12))
    start, end = first - air, first + timedelta(days=days) + air
    return Axis(start.toordinal(), end.toordinal()), start, end


def _day_ticks(first: date, last: date) -> tuple[list[date], list[date]]:
    """Short and long ticks: days and Mondays, or Mondays and the first of a month, or months and quarters."""
    days = [first + timedelta(days=n) for n in range((last - first).days + 1)]
    mondays = [day for day in days if day.weekday() == 0]
    firsts = [day for day in days if day.day == 1]
    if len(days) <= 50:
        return [day for day in days if day.weekday() != 0], mondays
    if len(days) <= 200:
        return [day for day in mondays if day.day > 7], [day for day in mondays if day.day <= 7]
    quarters = [day for day in firsts if day.month % 3 == 1]
    return [day for day in firsts if day.month % 3 != 1], quarters


def _day_labels(axis: Axis, long: list[date], now: float, near: float) -> list[Label]:
    """Today, then the long tick nearest to the promise, then the one farthest from both."""
    places = {axis.place(day.toordinal()): day for day in long}
    wanted = [label(now, gettext("today"), strong=True)]
    by_nearness = sorted(places, key=lambda x: abs(x - near))
    wanted += [label(x, day_text(places[x])) for x in by_nearness[:1]]
    wanted += [label(x, day_text(places[x])) for x in sorted(places, reverse=True)]
    wanted += [label(x, day_text(places[x])) for x in sorted(places)]
    return without_collisions(wanted)


def money(
    lowest: int,
    highest: int,
    show: Callable[[int], str],
    expected: int | None = None,
    ceiling: int | None = None,
) -> Scale:
    """A price: amounts in minor units, `show` writes one for people. `expected` outside lowest..highest is moved to the nearer end.

    A fixed price (lowest == highest) has an index and no reach. Raises ValueError where highest < lowest or lowest < 0.
    """
    if not 0 <= lowest <= highest:
        raise ValueError((lowest, highest))
    middle = min(max(lowest if expected is None else expected, lowest), highest)
    top = max(highest, ceiling or 0)
    step = _round_step(lowest, top)
    start = max(0, (lowest - step) // step * step)
    end = max(start + 4 * step, -(-(top + step) // step) * step)
    axis = Axis(start, end)
    marks = list(range(start, end + 1, step))
    x, x1, x2 = axis.place(middle), axis.place(lowest), axis.place(highest)
    stop = axis.place(ceiling) if ceiling is not None else None
    return Scale(
        rail=rail(RAIL),
        short_ticks=ticks((axis.place(mark) for mark in marks[1::2]), RAIL, SHORT),
        long_ticks=ticks((axis.place(mark) for mark in marks[0::2]), RAIL, LONG),
        labels=_money_labels(axis, marks[0::2], show),
        index=index(x, RAIL - 1),
        index_x=x,
        reach=_reach(x1, x2, hanging=x == x1),
        reach_from=x1,
        reach_to=x2,
        stop=f"M{stop:g} {RAIL - STOP_REACH - 6:g}V{RAIL + STOP_REACH - 2:g}" if stop is not None else "",
        stop_x=stop,
    )


def _round_step(low: int, high: int) -> int:
    """A step of 1, 2 or 5 times a power of ten that gives about eight ticks."""
    rough = max(1, (high - low) // 8, high // 24)
    power = 10 ** (len(str(rough)) - 1)
    return next(step for step in (power, 2 * power, 5 * power, 10 * power) if step >= rough)


def _money_labels(axis: Axis, marks: list[int], show: Callable[[int], str]) -> list[Label]:
    texts = [label(axis.place(mark), show(mark)) for mark in marks]
    ends = [texts[0], texts[-1]]
    middle = sorted(texts, key=lambda each: abs(each.x - (INSET + WIDTH) / 2))
    return without_collisions(ends + middle)
