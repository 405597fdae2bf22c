"""The timeline: entries gathered into turns, by whose move it was, and the turns drawn as brackets on a rail of days."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from .rail import WIDTH, Axis, bracket, index, rail, ticks

HEIGHT = 48.0
RAIL = 42.0
TOP, LEG = 24.0, 36.0
ICON = 18.0
LEAST = 4.0  # between two brackets


@dataclass(frozen=True, slots=True)
class Entry:
    """What happened on a day, and who held the job from then on. `what` is whatever the template shows."""

    day: date
    holder: str
    what: Any


@dataclass(frozen=True, slots=True)
class Turn:
    """A stretch in which one holder had the move. `ends` is None while it lasts; entries newest first."""

    holder: str
    starts: date
    ends: date | None
    days: int
    entries: list[Entry] = field(default_factory=list)

    @property
    def is_open(self) -> bool:
        return self.ends is None


@dataclass(frozen=True, slots=True)
class Bracket:
    """One turn on the rail; `icon_x` is None where there is no room for its icon."""

    holder: str
    path: str
    left: float
    right: float
    icon_x: float | None


@dataclass(frozen=True, slots=True)
class Rail:
    rail: str
    ticks: str
    brackets: list[Bracket]
    index: str
    index_x: float
    width: float = WIDTH
    height: float = HEIGHT
    icon_y: float = 2.0
    icon: float = ICON


def gather(entries: Iterable[Entry], today: date) -> list[Turn]:
    """Entries (oldest first) into turns, newest turn first. A turn that nobody holds does not count days."""
    groups: list[list[Entry]] = []
    for entry in entries:
        if groups and groups[-1][-1].holder == entry.holder:
            groups[-1].append(entry)
        else:
            groups.append([entry])
    turns = []
    for group, following in zip(groups, [*groups[1:], None], strict=False):
        ends = following[0].day if following else None
        turns.append(_turn(group, ends, today))
    return turns[::-1]


def _turn(group: Sequence[Entry], ends: date | None, today: date) -> Turn:
    last = ends or max(today, group[-1].day)
    return Turn(group[0].holder, group[0].day, ends, (last - group[0].day).days, list(reversed(group)))


def draw(turns: Sequence[Turn], today: date) -> Rail | None:
    """Brackets for turns (any order); None where everything happened in less than three days: words say that better."""
    counted = sorted((turn for turn in turns if turn.holder != "nobody"), key=lambda turn: turn.starts)
    if not counted:
        return None
    first = counted[0].starts
    last = counted[-1].ends or today
    if (last - first).days < 3:
        return None
    axis = Axis(first.toordinal(), last.toordinal())
    x = axis.place(last.toordinal())
    return Rail(
        rail=rail(RAIL),
        ticks=ticks((axis.place(day) for day in _tick_days(first, last)), RAIL, 5.0),
        brackets=[each for turn in counted if (each := _bracket(axis, turn, last))],
        index=index(x, RAIL - 1, half=6.0, height=11.0),
        index_x=x,
    )


def _tick_days(first: date, last: date) -> Iterable[int]:
    """Every day, or every Monday where days would run together."""
    days = (last - first).days
    if days <= 60:
        return range(first.toordinal(), last.toordinal() + 1)
    to_monday = (7 - first.weekday()) % 7
    return range((first + timedelta(days=to_monday)).toordinal(), last.toordinal() + 1, 7)


def _bracket(axis: Axis, turn: Turn, last: date) -> Bracket | None:
    """None for a turn that began and ended on the same day: it has no length to draw."""
    left = axis.place(turn.starts.toordinal()) + LEAST / 2
    right = axis.place((turn.ends or last).toordinal()) - LEAST / 2
    if right - left < 1:
        return None
    middle = (left + right) / 2 - ICON / 2
    roomy = right - left >= ICON + 2
    return Bracket(
        turn.holder,
        bracket(round(left, 1), round(right, 1), TOP, LEG),
        round(left, 1),
        round(right, 1),
        round(middle, 1) if roomy else None,
    )
