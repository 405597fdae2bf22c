"""Shares that were counted a few times, each on its rail: how far the true share may lie, and what was counted; one axis for all."""

from collections.abc import Iterable
from dataclasses import dataclass

from .rail import WIDTH, Axis, Label, bracket, index, label, rail, ticks

ROW = 26.0
RAIL = 22.0
AXIS_HEIGHT = 34.0
AXIS_RAIL = 6.0
STEP = 10  # hundredths between ticks


@dataclass(frozen=True, slots=True)
class Share:
    """From 0 to 1: what was counted, and the bounds of the true share."""

    counted: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Drawn:
    reach: str
    index: str


@dataclass(frozen=True, slots=True)
class Shares:
    """`rows` in the order given; the axis runs from 0 to the next ten in a hundred above the highest bound."""

    rows: list[Drawn]
    row_rail: str
    rail: str
    ticks: str
    labels: list[Label]
    width: float = WIDTH
    row_height: float = ROW
    height: float = AXIS_HEIGHT
    label_y: float = 30.0


def draw(shares: Iterable[Share], last_words: str) -> Shares:
    """`last_words`: what stands at the end of the axis, with %(n)s for its hundredths."""
    shares = list(shares)
    last = _next_ten(max((share.high for share in shares), default=0.0))
    axis = Axis(0, last)
    return Shares(
        rows=[_row(share, axis) for share in shares],
        row_rail=rail(RAIL),
        rail=rail(AXIS_RAIL),
        ticks=ticks((axis.place(at) for at in range(0, last + 1, STEP)), AXIS_RAIL, 5.0),
        labels=[label(axis.place(0), "0"), label(axis.place(last), last_words % {"n": last})],
    )


def _row(share: Share, axis: Axis) -> Drawn:
    low, at, high = (axis.place(100 * each) for each in (share.low, share.counted, share.high))
    return Drawn(bracket(low, high, 5.0, RAIL), index(at, RAIL, 5.0, 10.0))


def _next_ten(share: float) -> int:
    """0.205 -> 30; at least one step, so that there is an axis."""
    hundredths = int(share * 100)
    return min(100, max(STEP, (hundredths // STEP + 1) * STEP))
