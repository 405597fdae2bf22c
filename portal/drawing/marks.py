"""Numbered marks on a photograph: where the ring, its leader and the disc with the number go.

A drawing is 1200 units wide and as high as the photograph's shape asks. The ring lies where the bench put it; the disc is
ours to place: inside the frame, clear of every ring and of every other disc, near its own ring, and outwards if it can.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

WIDE = 1200
DISC = 44.0
MARGIN = 12.0  # between a disc and the frame
CLEAR = 14.0  # between a disc and anything else
ARMS = (64.0, 110.0, 170.0)  # from the edge of the ring to the edge of the disc
DIRECTIONS = 24
LINES = {"inferred": "dash", "untried": "dash", "ruled_out": "struck"}


@dataclass(frozen=True, slots=True)
class Mark:
    """What the bench placed: `x`, `y` in per mille of the photograph's width and height, `r` in per mille of its width."""

    n: int
    x: int
    y: int
    r: int = 62


@dataclass(frozen=True, slots=True)
class Drawn:
    """One mark in drawing units. `line` is full, dash or struck; `leader` and `stroke` are path data."""

    n: int
    x: float
    y: float
    r: float
    line: str
    leader: str
    stroke: str
    disc_x: float
    disc_y: float
    disc: float = DISC

    @property
    def text_y(self) -> float:
        """Baseline that sets the figure in the middle of its disc."""
        return round(self.disc_y + 19, 1)


@dataclass(frozen=True, slots=True)
class Marked:
    """The overlay of one photograph."""

    width: int
    height: int
    marks: tuple[Drawn, ...]


Circle = tuple[float, float, float]


def draw(marks: Iterable[Mark], width: int, height: int, certainty: str = "seen") -> Marked:
    """Lay out `marks` for a photograph of `width` x `height` pixels, both positive. Ring lines follow `certainty`."""
    wanted = sorted(marks, key=lambda mark: mark.n)
    return _laid_out(tuple(wanted), round(WIDE * height / width), LINES.get(certainty, "full"))


@lru_cache(maxsize=1024)
def _laid_out(wanted: tuple[Mark, ...], high: int, line: str) -> Marked:
    """Kept, because each disc is the best of some seventy places, and a page draws the same marks each time it is opened."""
    rings = [_ring(mark, high) for mark in wanted]
    discs: list[Circle] = []
    for ring in rings:
        discs.append(_best_disc(ring, rings, discs, high))
    drawn = (_drawn(mark.n, ring, disc, line) for mark, ring, disc in zip(wanted, rings, discs, strict=True))
    return Marked(WIDE, high, tuple(drawn))


def _ring(mark: Mark, high: int) -> Circle:
    return (round(mark.x * WIDE / 1000, 1), round(mark.y * high / 1000, 1), max(20.0, mark.r * WIDE / 1000))


def _best_disc(ring: Circle, rings: Sequence[Circle], discs: Sequence[Circle], high: int) -> Circle:
    places = [place for place in _around(ring, high) if _is_free(place, discs)]
    places = places or [place for place in _anywhere(high) if _is_free(place, discs)]
    places = places or [
        _inside(ring[0], ring[1], high)
    ]  # a picture thinner than a disc: better crowded than lost
    return min(places, key=lambda place: _cost(place, ring, rings, high))


def _around(ring: Circle, high: int) -> list[Circle]:
    x, y, r = ring
    found = []
    for arm in ARMS:
        for turn in range(DIRECTIONS):
            angle = 2 * math.pi * turn / DIRECTIONS
            reach = r + arm + DISC
            place = (round(x + reach * math.cos(angle), 1), round(y + reach * math.sin(angle), 1), DISC)
            if place == _inside(place[0], place[1], high):
                found.append(place)
    return found


def _anywhere(high: int) -> list[Circle]:
    step = int(2 * DISC + CLEAR)
    return [_inside(x, y, high) for x in range(0, WIDE + step, step) for y in range(0, high + step, step)]


def _inside(x: float, y: float, high: int) -> Circle:
    edge = DISC + MARGIN
    return (
        min(max(x, edge), WIDE - edge),
        min(max(y, min(edge, high / 2)), max(high - edge, high / 2)),
        DISC,
    )


def _gap(one: Circle, other: Circle) -> float:
    return math.hypot(one[0] - other[0], one[1] - other[1]) - one[2] - other[2]


def _is_free(place: Circle, discs: Sequence[Circle]) -> bool:
    return all(_gap(place, disc) >= CLEAR for disc in discs)


def _cost(place: Circle, ring: Circle, rings: Sequence[Circle], high: int) -> float:
    """Least is best: covering a ring is worst, then a leader across another ring, then a long arm, then leaning inwards."""
    covered = sum(max(0.0, CLEAR - _gap(place, other)) for other in rings)
    crossed = sum(1 for other in rings if other is not ring and _crosses(ring, place, other))
    arm = max(0.0, _gap(place, ring))
    inwards = math.hypot(place[0] - WIDE / 2, place[1] - high / 2)
    return covered * 20 + crossed * 800 + arm - inwards * 0.3


def _crosses(ring: Circle, disc: Circle, other: Circle) -> bool:
    """Does the straight line from ring to disc pass through another ring?"""
    dx, dy = disc[0] - ring[0], disc[1] - ring[1]
    square = dx * dx + dy * dy
    if square == 0:
        return False
    along = min(1.0, max(0.0, ((other[0] - ring[0]) * dx + (other[1] - ring[1]) * dy) / square))
    return math.hypot(ring[0] + along * dx - other[0], ring[1] + along * dy - other[1]) < other[2]


def _drawn(n: int, ring: Circle, disc: Circle, line: str) -> Drawn:
    return Drawn(
        n=n,
        x=ring[0],
        y=ring[1],
        r=round(ring[2], 1),
        line=line,
        leader=_leader(ring, disc),
        stroke=_stroke(ring) if line == "struck" else "",
        disc_x=disc[0],
        disc_y=disc[1],
    )


def _leader(ring: Circle, disc: Circle) -> str:
    """From the edge of the ring to the middle of the disc; nothing where they touch."""
    away = math.hypot(disc[0] - ring[0], disc[1] - ring[1])
    if away <= ring[2]:
        return ""
    x = ring[0] + (disc[0] - ring[0]) * ring[2] / away
    y = ring[1] + (disc[1] - ring[1]) * ring[2] / away
    return f"M{x:.1f} {y:.1f}L{disc[0]:g} {disc[1]:g}"


def _stroke(ring: Circle) -> str:
    """The stroke through a ring that says: ruled out."""
    half = ring[2] * 0.72
    return f"M{ring[0] - half:.1f} {ring[1] + half:.1f}L{ring[0] + half:.1f} {ring[1] - half:.1f}"
