"""What every scale is made of: an axis that places values on a rail, and labels that keep out of each other's way."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

WIDTH = 350.0
INSET = 8.0  # the first and the last value stand this far inside the drawing
OVERHANG = 4.0  # the rail runs on this far beyond them

# A letter of a wide sans at 13 px is about this wide. Too wide is safe: a label is left out, never printed over another.
LETTER = 7.8
GAP = 10.0


@dataclass(frozen=True, slots=True)
class Axis:
    """Maps `first`..`last` (first < last) onto the rail of a drawing that is `width` wide."""

    first: float
    last: float
    width: float = WIDTH

    def place(self, value: float) -> float:
        """Where a value stands; what lies outside is put at the nearer end."""
        share = (value - self.first) / (self.last - self.first)
        return round(INSET + min(1.0, max(0.0, share)) * (self.width - 2 * INSET), 1)


@dataclass(frozen=True, slots=True)
class Label:
    """Words at `x`; `anchor` (start, middle, end) says which part of them stands there."""

    x: float
    text: str
    anchor: str = "middle"
    strong: bool = False

    @property
    def left(self) -> float:
        return self.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[self.anchor] * self.length

    @property
    def right(self) -> float:
        return self.left + self.length

    @property
    def length(self) -> float:
        return len(self.text) * LETTER

    def clear_of(self, other: "Label") -> bool:
        return self.right + GAP <= other.left or other.right + GAP <= self.left


def label(x: float, text: str, width: float = WIDTH, strong: bool = False) -> Label:
    """A label under `x`, turned to the nearer side where it would stick out of the drawing."""
    middle = Label(x, text, "middle", strong)
    if middle.left < 0:
        return Label(0.0, text, "start", strong)
    if middle.right > width:
        return Label(width, text, "end", strong)
    return middle


def without_collisions(wanted: Iterable[Label], most: int = 3, width: float = WIDTH) -> list[Label]:
    """The first `most` labels, in order of importance, that fit in the drawing and touch no other."""
    kept: list[Label] = []
    for each in wanted:
        fits = each.left >= 0 and each.right <= width
        if len(kept) < most and fits and all(each.clear_of(other) for other in kept):
            kept.append(each)
    return sorted(kept, key=lambda each: each.left)


def rail(y: float, width: float = WIDTH) -> str:
    """The rail itself, as path data."""
    return f"M{INSET - OVERHANG:g} {y:g}H{width - INSET + OVERHANG:g}"


def ticks(places: Iterable[float], y: float, length: float) -> str:
    """Ticks that hang from the rail, as path data."""
    return "".join(f"M{x:g} {y:g}v{length:g}" for x in places)


def bracket(x1: float, x2: float, top: float, foot: float, left_foot: float | None = None) -> str:
    """A reach: a square bracket that stands open to the rail. `left_foot` shortens the leg that an index hangs from."""
    return f"M{x1:g} {foot if left_foot is None else left_foot:g}V{top:g}H{x2:g}V{foot:g}"


def index(x: float, tip: float, half: float = 7.0, height: float = 13.0) -> str:
    """An index: a triangle whose tip touches the rail."""
    return f"M{x:g} {tip:g}l{-half:g} {-height:g}h{2 * half:g}z"


def spread(positions: Sequence[float], want: float) -> list[float]:
    """Positions in the order in which they should be labelled: nearest to `want` first."""
    return sorted(positions, key=lambda position: abs(position - want))
