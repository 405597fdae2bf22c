"""What a quote with try-first lines can come to. A try-first line turns out one of several ways, and each way adds what was agreed for it.

Every total and how likely it is, exactly: tries are independent, so their sums are convolved (`jobs.convolving`), one try after the
other. Amounts are whole minor units throughout.

Added tax is rounded once for each (category, rate), so a gross total is not the sum of gross lines. Tries are therefore convolved on
the net of their group, and only then taxed; tries that touch several groups are convolved on all of those nets at once. What is
taxed at nothing, and everything where prices include tax, is one group that needs no rounding.

Limits: sixty lines of four ways and a hundred pounds each take about a tenth of a second, in one group of tax or in two, and twelve a
few milliseconds. TooMany is raised beyond `convolving.MOST` sums side by side: from twelve lines of four ways, where each of them
touches two rates of added tax; or where tries lie in three groups, six and more of four ways in each of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, gcd, prod
from operator import mul
from typing import TYPE_CHECKING

from jobs.convolving import Choice, Sums, TooMany, both, convolved, gathered, sums, within
from jobs.quoting import Amount, Tax, gross_of
from jobs.words import TaxMode

if TYPE_CHECKING:
    from jobs.convolving import Whole

PLAIN = Tax(category="", rate_bp=0)  # the group of all that needs no rounding
ALL_BP = 10_000
HALF_BP = ALL_BP // 2

# What one way of a try adds, net by group of tax, sorted and without nothings; and the way's weight.
Adds = tuple[tuple[Tax, int], ...]
Try = list[tuple[Adds, int]]


@dataclass(frozen=True)
class Way:
    """One way a try may turn out, and what it adds. Raises ValueError for a weight below 1."""

    weight: int
    amounts: tuple[Amount, ...] = ()

    def __post_init__(self) -> None:
        if self.weight < 1:
            raise ValueError(f"a way with weight {self.weight} is no way")


@dataclass(frozen=True, eq=False)
class Spread:
    """Gross totals in minor units: the sum of one of each of `parts`, which are independent and at most two.

    `expected` is the exact mean. Only where a group of tax may come to less than nothing (credits), at a rate that leaves halves
    and with more than 2**53 cases, it is within a billionth of a minor unit of it.
    """

    lowest: int
    expected: Fraction
    highest: int
    parts: tuple[Sums, ...] = ()

    @property
    def expected_minor(self) -> int:
        """Rounded half up, away from nothing as every sum of a quote is."""
        whole = (2 * abs(self.expected.numerator) + self.expected.denominator) // (
            2 * self.expected.denominator
        )
        return whole if self.expected >= 0 else -whole

    def chance_within(self, ceiling: int) -> float:
        """How likely the total is at most `ceiling`. Never falls as it rises; exactly 0 below `lowest`, 1 from `highest` on."""
        if ceiling < self.lowest:
            return 0.0
        if ceiling >= self.highest:
            return 1.0
        return within(self.parts, ceiling)

    def tenths_within(self, ceiling: int) -> int:
        """The same in whole tenths, 0 to 10, for words: an exact half is rounded down, so that they promise no more than it is."""
        return max(0, ceil(self.chance_within(ceiling) * 10 - 0.5))

    def chances(self) -> list[tuple[int, float]]:
        """Every total that can be, rising, and its chance. May be long. Raises TooMany."""
        if not self.parts:
            return [(self.lowest, 1.0)]
        every = self.parts[0] if len(self.parts) == 1 else both(*self.parts)
        return list(zip(every.at.tolist(), every.chance.tolist(), strict=True))


def spread(fixed: Sequence[Amount], tries: Sequence[Sequence[Way]], mode: TaxMode) -> Spread:
    """What `fixed` and one way of each of `tries` come to under `mode`, as `quoting.total` adds them up, in any order.

    Raises ValueError for a try without ways, TooMany beyond the limits above.
    """
    if not all(tries):
        raise ValueError("a try has at least one way to turn out")
    base = _by_group(fixed, mode)
    knots = list(_knots(sorted(_merged(ways, mode) for ways in tries)))
    touched = {group for groups, _ in knots for group in groups}
    known = sum(gross_of(minor, group, mode) for group, minor in base.items() if group not in touched)
    if not knots:
        return Spread(known, Fraction(known), known)
    parts, means = zip(*(_knot(groups, members, base) for groups, members in knots), strict=True)
    lowest, highest = (known + sum(int(part.at[end]) for part in parts) for end in (0, -1))
    first, *others = gathered(parts)
    moved = Sums(first.at + known, first.chance, first.upto)
    return Spread(lowest, known + sum(means, Fraction(0)), highest, (moved, *others))


def posterior(weights: Sequence[int], counts: Sequence[int], strength: int = 8) -> tuple[int, ...]:
    """A starting guess, moved by what this workshop counted: whole weights with no common divisor, in the ratio of the posterior mean.

    The guess is a Dirichlet prior with alpha_i = strength * w_i / W, W being the sum of `weights`; `counts` are multinomial. The
    Dirichlet is conjugate to it: the posterior is a Dirichlet with alpha_i + n_i, whose mean is proportional to
    strength * w_i + n_i * W, in whole numbers (Gelman et al., Bayesian Data Analysis, 3rd edition, section 3.4; from memory).

    `strength` says how many jobs the guess counts for. Eight is common sense and not measured: after eight jobs of its own the
    workshop is believed as much as the guess, and one odd job does not turn it over.

    Raises ValueError where lengths differ or are nothing, a weight or the strength is below 1, or a count below 0.
    """
    if len(weights) != len(counts) or not weights:
        raise ValueError("each way needs its weight and its count")
    if min(weights) < 1 or min(counts) < 0 or strength < 1:
        raise ValueError("weights and strength are at least 1, counts at least 0")
    every = sum(weights)
    raw = [strength * weight + count * every for weight, count in zip(weights, counts, strict=True)]
    return tuple(each // gcd(*raw) for each in raw)


def _by_group(amounts: Iterable[Amount], mode: TaxMode) -> dict[Tax, int]:
    nets: dict[Tax, int] = {}
    for each in amounts:
        group = each.tax if mode == TaxMode.ADDED and each.tax.rate_bp else PLAIN
        nets[group] = nets.get(group, 0) + each.minor
    return nets


def _merged(ways: Iterable[Way], mode: TaxMode) -> Try:
    """Ways that add the same made one, sorted, weights without a common divisor."""
    weights: dict[Adds, int] = {}
    for way in ways:
        adds = tuple(sorted((group, net) for group, net in _by_group(way.amounts, mode).items() if net))
        weights[adds] = weights.get(adds, 0) + way.weight
    shared = gcd(*weights.values())
    return sorted((adds, weight // shared) for adds, weight in weights.items())


def _knots(tries: Sequence[Try]) -> Iterator[tuple[list[Tax], list[Try]]]:
    """Groups of tax that some try ties together, with the tries that touch them. A try that adds nothing either way is in none."""
    touched = [{group for adds, _ in ways for group, _ in adds} for ways in tries]
    knots: list[set[Tax]] = []
    for touches in filter(None, touched):
        tied = [knot for knot in knots if knot & touches]
        knots = [knot for knot in knots if not knot & touches] + [touches.union(*tied)]
    for knot in sorted(map(sorted, knots)):
        yield knot, [ways for ways, touches in zip(tries, touched, strict=True) if touches & set(knot)]


@dataclass(frozen=True)
class _Column:
    """One group of tax: what is fixed in it, and what each way of each try adds to it, net."""

    tax: Tax
    fixed: int
    nets: list[list[int]]

    @property
    def lowest(self) -> int:
        return self.fixed + sum(map(min, self.nets))

    @property
    def room(self) -> int:
        """How many sums there are from the lowest to the highest."""
        return 1 + sum(max(each) - min(each) for each in self.nets)


def _knot(groups: Sequence[Tax], tries: Sequence[Try], base: dict[Tax, int]) -> tuple[Sums, Fraction]:
    """The gross sums of some groups of tax with all their tries and all that is fixed in them, and their exact mean."""
    weights = [[weight for _, weight in ways] for ways in tries]
    columns = [
        _Column(tax, base.get(tax, 0), [[dict(adds).get(tax, 0) for adds, _ in ways] for ways in tries])
        for tax in groups
    ]
    at, cases = convolved(_keys(columns, weights), in_a_row=len(columns) == 1)
    gross, halves = at * 0, Fraction(0)
    for column in columns:
        nets, at = at % column.room + column.lowest, at // column.room
        gross += _taxed(nets, column.tax)
        if column.lowest < 0:
            lost = cases[(nets < 0) & (-nets * column.tax.rate_bp % ALL_BP == HALF_BP)].sum()
            halves += Fraction(float(lost)) / Fraction(float(cases.sum()))
    return sums(gross, cases), sum((_mean(column, weights) for column in columns), -halves)


def _keys(columns: Sequence[_Column], weights: Sequence[Sequence[int]]) -> list[Choice]:
    """The nets of all columns in one number, each with room of its own, so that adding such numbers adds each net. Raises TooMany."""
    if prod(column.room for column in columns) >= 2**62:
        raise TooMany("more room than a whole number of numpy has")
    keys = [[0] * len(each) for each in weights]
    for column in reversed(columns):
        keys = [
            [key * column.room + net - min(nets) for key, net in zip(row, nets, strict=True)]
            for row, nets in zip(keys, column.nets, strict=True)
        ]
    return [list(zip(row, each, strict=True)) for row, each in zip(keys, weights, strict=True)]


def _taxed(nets: Whole, tax: Tax) -> Whole:
    """`gross_of` for many at once: half up, away from nothing."""
    due = (abs(nets) * tax.rate_bp + HALF_BP) // ALL_BP
    return nets + due * (1 - 2 * (nets < 0))


def _mean(column: _Column, weights: Sequence[Sequence[int]]) -> Fraction:
    """The exact mean of one group's gross sum, were halves rounded up below nothing too.

    Tax in ten-thousandths of a unit is rounded by what it leaves over a whole unit. Such rests are few, and convolved as whole numbers.
    """
    rate, mean = column.tax.rate_bp, Fraction(column.fixed)
    rests = {(column.fixed * rate + HALF_BP) % ALL_BP: 1}
    for nets, shares in zip(column.nets, weights, strict=True):
        mean += Fraction(sum(map(mul, nets, shares)), sum(shares))
        then: dict[int, int] = {}
        for rest, cases in rests.items():
            for net, share in zip(nets, shares, strict=True):
                place = (rest + net * rate) % ALL_BP
                then[place] = then.get(place, 0) + cases * share
        rests = then
    left = Fraction(sum(rest * cases for rest, cases in rests.items()), sum(rests.values()))
    return (mean * (ALL_BP + rate) + HALF_BP - left) / ALL_BP
