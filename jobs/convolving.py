"""How sums of independent things fall out: rows of whole numbers with how likely each is, added up without drawing at random.

How likely a sum is, is counted in cases: whole numbers kept in doubles, and exact as long as all cases together are at most 2**53, for
sums of doubles are exact up to there. Beyond that each thing's weights are shares of one, and a chance is good to about 1e-13.
Doubles, and not whole numbers without end, because numpy adds 100,000 of them in a moment. Numpy itself takes a moment to load, so
that happens inside the functions.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from math import gcd, prod
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Whole = NDArray[np.int64]
    Real = NDArray[np.float64]

FEW = 4096  # sums up to which a list of them is quicker than a row with a place for every sum
WIDEST = 2**25  # places of such a row
MOST = 2**22  # sums in a list
TOGETHER = 2**16  # pairs up to which two rows are made one at once
SURE = 2**53  # whole numbers up to here are exact in a double

Choice = list[tuple[int, int]]  # (what it adds, at least 0 and 0 for one of them; weight, at least 1)


class TooMany(ValueError):
    """More sums than can be worked out side by side."""


@dataclass(frozen=True, eq=False)
class Sums:
    """Sums, rising; how likely each is; and how likely one of them or a lower one is, which is exactly 1 at the last."""

    at: Whole
    chance: Real
    upto: Real

    def __len__(self) -> int:
        return len(self.at)

    def within(self, ceiling: int) -> float:
        place = bisect_right(self.at, ceiling)
        return float(self.upto[place - 1]) if place else 0.0


def convolved(choices: Sequence[Choice], in_a_row: bool) -> tuple[Whole, Real]:
    """Every sum of one of each of `choices`, rising, and its cases. `in_a_row` allows a row with a place for every sum.

    In a row a sum with fewer cases than a double can hold is left out, but never the lowest and the highest. Raises TooMany.
    """
    exact = prod(sum(weight for _, weight in choice) for choice in choices) <= SURE
    shares = [
        [(adds, weight / (1 if exact else sum(each for _, each in choice))) for adds, weight in choice]
        for choice in sorted(
            choices
        )  # smallest first is quicker, and one order gives one answer to the last bit
    ]
    unit = gcd(*(adds for choice in choices for adds, _ in choice)) or 1
    widest = sum(max(choice)[0] for choice in choices) // unit
    if in_a_row and prod(map(len, choices)) > FEW and widest <= WIDEST:
        return _in_a_row(shares, unit)
    return _in_a_list(shares)


def _in_a_row(choices: Sequence[list[tuple[int, float]]], unit: int) -> tuple[Whole, Real]:
    import numpy as np

    row = np.ones(1)
    for choice in sorted(choices, key=max):
        longer = np.zeros(len(row) + max(choice)[0] // unit)
        for adds, cases in choice:
            longer[adds // unit :][: len(row)] += row * cases
        row = longer
    row[[0, -1]] = np.maximum(row[[0, -1]], np.finfo(np.float64).smallest_subnormal)
    places = np.flatnonzero(row)
    return places * unit, row[places]


def _in_a_list(choices: Sequence[list[tuple[int, float]]]) -> tuple[Whole, Real]:
    import numpy as np

    at, cases = np.zeros(1, np.int64), np.ones(1)
    for choice in choices:
        if len(at) * len(choice) > MOST:
            raise TooMany(f"more than {MOST} sums")
        adds, weights = zip(*choice, strict=True)
        at, cases = merged(np.add.outer(at, np.array(adds, np.int64)), np.multiply.outer(cases, weights))
    return at, cases


def merged(at: Whole, cases: Real) -> tuple[Whole, Real]:
    """Each sum once, rising, with all its cases."""
    import numpy as np

    order = np.argsort(at, axis=None, kind="stable")
    at, cases = at.ravel()[order], cases.ravel()[order]
    first = np.flatnonzero(np.diff(at, prepend=at[0] - 1))
    return at[first], np.add.reduceat(cases, first)


def sums(at: Whole, cases: Real) -> Sums:
    """From cases to chances; several of the same sum become one."""
    at, cases = merged(at, cases)
    upto = cases.cumsum()
    return Sums(at, cases / upto[-1], upto / upto[-1])


def both(one: Sums, other: Sums) -> Sums:
    """The sums of one of each. Raises TooMany."""
    import numpy as np

    if len(one) * len(other) > MOST:
        raise TooMany(f"more than {MOST} sums")
    return sums(np.add.outer(one.at, other.at), np.multiply.outer(one.chance, other.chance))


def gathered(parts: Sequence[Sums]) -> list[Sums]:
    """The same sums in at most two parts, the shorter first; one where that is little work. Raises TooMany."""
    parts = sorted(parts, key=len)
    while len(parts) > 2 or (len(parts) == 2 and len(parts[0]) * len(parts[1]) <= TOGETHER):
        one, other, *rest = parts
        parts = sorted([both(one, other), *rest], key=len)
    return parts


def within(parts: Sequence[Sums], ceiling: int) -> float:
    """How likely one of each of one or two `parts` is at most `ceiling` together; from 0 to 1, and never less for a higher one."""
    if len(parts) == 1:
        return parts[0].within(ceiling)
    fewer, more = parts
    places = more.at.searchsorted(ceiling - fewer.at, side="right")
    likely = fewer.chance * more.upto[places - 1] * (places > 0)
    return min(1.0, float(likely.sum()))
