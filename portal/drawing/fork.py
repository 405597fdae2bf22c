"""The fork of a try: one arm for each way that it may turn out, as thick as its chance. Numbers only; the words stand beside it.

Two or three arms spread from one trunk over as many columns. More of them leave a stem one below the other, each beside its own words.
"""

from collections.abc import Sequence
from dataclasses import dataclass

WIDTH, HEIGHT = 350.0, 46.0
THICKEST, THINNEST = 10.0, 1.5
MOST_IN_A_ROW = 2
SIDE_WIDTH, SIDE_HEIGHT = 40.0, 28.0


@dataclass(frozen=True, slots=True)
class Arm:
    """Path data and the thickness of its line; `x` where it ends."""

    path: str
    thickness: float
    x: float


@dataclass(frozen=True, slots=True)
class Fork:
    """`sideways`: each arm is a little drawing of its own, `width` by `height`, that leaves a stem at its left edge."""

    arms: list[Arm]
    sideways: bool
    width: float
    height: float


def fork(weights: Sequence[int]) -> Fork:
    """An arm for each weight, in their order. Raises ValueError for fewer than two, or one below 1."""
    if len(weights) < 2 or min(weights) < 1:
        raise ValueError(weights)
    every = sum(weights)
    thick = [thickness(weight / every) for weight in weights]
    if len(weights) > MOST_IN_A_ROW:
        arms = [Arm(_branch(), each, SIDE_WIDTH) for each in thick]
        return Fork(arms, True, SIDE_WIDTH, SIDE_HEIGHT)
    column = WIDTH / len(weights)
    ends = [round(column * (n + 0.5), 1) for n in range(len(weights))]
    return Fork([Arm(_arm(x), each, x) for x, each in zip(ends, thick, strict=True)], False, WIDTH, HEIGHT)


def thickness(share: float) -> float:
    """Of a line for a chance from 0 to 1; never so thin that it could not be seen."""
    return round(max(THINNEST, THICKEST * share), 1)


def _arm(x: float) -> str:
    """From the middle of the top edge, in one bend, down to `x` at the foot."""
    middle = WIDTH / 2
    return f"M{middle:g} 0C{middle:g} {HEIGHT * 0.57:g} {x:g} {HEIGHT * 0.35:g} {x:g} {HEIGHT:g}"


def _branch() -> str:
    """From the stem at the left edge, in one bend, out to the right."""
    return f"M0 0C0 {SIDE_HEIGHT / 2:g} {SIDE_WIDTH * 0.4:g} {SIDE_HEIGHT / 2:g} {SIDE_WIDTH:g} {SIDE_HEIGHT / 2:g}"
