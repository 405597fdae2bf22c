"""What try-first lines can come to, against every combination counted one by one, and against scipy (only the tests need it).

The counting adds up each combination with `jobs.quoting.total`, which has its own outside check in test_tax_examples.py, and keeps
chances as fractions. scipy gives the binomial for tries that are all alike, a convolution for prices that are not, and the mean of a
Dirichlet and of a beta.
"""

from fractions import Fraction
from itertools import product
from math import prod
from random import Random

import numpy as np
import pytest
from scipy import signal, stats

from jobs.quoting import Amount, Tax, total
from jobs.trying import Spread, Way, posterior, spread
from jobs.words import TaxMode

FIFTH, TWENTIETH, TENTH, NONE = Tax("S", 2000), Tax("S", 500), Tax("S", 1000), Tax("E", 0)


def counted(fixed: list[Amount], tries: list[list[Way]], mode: TaxMode) -> dict[int, Fraction]:
    """Every gross total and its chance, one combination after the other."""
    found: dict[int, Fraction] = {}
    for chosen in product(*tries):
        adds = [amount for way in chosen for amount in way.amounts]
        gross = total([*fixed, *adds], mode).gross
        found[gross] = found.get(gross, Fraction(0)) + prod(Fraction(way.weight) for way in chosen)
    every = sum(found.values())
    return {gross: found[gross] / every for gross in sorted(found)}


def same(ours: Spread, theirs: dict[int, Fraction]) -> None:
    assert (ours.lowest, ours.highest) == (min(theirs), max(theirs))
    assert ours.expected == sum(gross * chance for gross, chance in theirs.items())
    assert [gross for gross, _ in ours.chances()] == list(theirs)
    assert [chance for _, chance in ours.chances()] == pytest.approx(
        list(map(float, theirs.values())), rel=1e-12
    )
    upto = np.cumsum(list(map(float, theirs.values())))
    for gross, chance in zip(theirs, upto, strict=True):
        assert ours.chance_within(gross) == pytest.approx(chance, abs=1e-12)


def lines(dice: Random, number: int, taxes: list[Tax], least: int, each_alone: bool) -> list[list[Way]]:
    """Lines of 2 to 4 ways at awkward prices. `each_alone`: one tax a line, and else any tax a way, sometimes two."""

    def way(tax: Tax) -> Way:
        own = [tax] if each_alone else dice.sample(taxes, dice.choice([1, 1, min(2, len(taxes))]))
        adds = tuple(Amount(dice.randrange(least, 9_000), each) for each in own)
        return Way(dice.randrange(1, 30), dice.choice([(), adds, adds]))

    return [[way(dice.choice(taxes)) for _ in range(dice.randrange(2, 5))] for _ in range(number)]


@pytest.mark.parametrize("mode", TaxMode)
@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("each_alone", [True, False])
@pytest.mark.parametrize("taxes", [[FIFTH], [FIFTH, TWENTIETH], [TENTH, FIFTH, NONE]])
def test_every_combination_counted_says_the_same(
    mode: TaxMode, seed: int, each_alone: bool, taxes: list[Tax]
) -> None:
    dice = Random(seed)
    fixed = [Amount(dice.randrange(-4_000, 20_000), tax) for tax in taxes]
    tries = lines(dice, 5, taxes, -2_000, each_alone)
    same(spread(fixed, tries, mode), counted(fixed, tries, mode))


@pytest.mark.parametrize("seed", range(20))
def test_halves_of_a_credit_are_rounded_as_on_the_quote(seed: int) -> None:
    """At a tenth every tenth net leaves a half; a credit that outweighs the work is taxed away from nothing."""
    dice = Random(seed)
    tries = [
        [Way(dice.randrange(1, 9), (Amount(5 * dice.randrange(-20, 20), TENTH),)) for _ in range(3)]
        for _ in range(5)
    ]
    same(
        spread([Amount(-15, TENTH)], tries, TaxMode.ADDED),
        counted([Amount(-15, TENTH)], tries, TaxMode.ADDED),
    )


def test_nine_lines_in_a_row_of_places_counted_say_the_same() -> None:
    tries = [
        [*line[:1], Way(7, (Amount(1_013, FIFTH),)), Way(2)]
        for line in lines(Random(3), 8, [FIFTH], 500, True)
    ]
    tries.append([Way(3, (Amount(777, FIFTH),)), Way(2)])
    same(
        spread([Amount(12_345, FIFTH)], tries, TaxMode.ADDED),
        counted([Amount(12_345, FIFTH)], tries, TaxMode.ADDED),
    )


@pytest.mark.parametrize("number", [1, 7, 20, 60])
def test_tries_that_are_all_alike_follow_the_binomial(number: int) -> None:
    found = spread([Amount(5_000)], [[Way(5), Way(2, (Amount(4_511),))]] * number, TaxMode.NONE)
    theirs = stats.binom(number, 2 / 7)
    times = np.arange(number + 1)
    assert [gross for gross, _ in found.chances()] == [5_000 + 4_511 * int(each) for each in times]
    assert [chance for _, chance in found.chances()] == pytest.approx(theirs.pmf(times), rel=1e-9)
    assert [found.chance_within(5_000 + 4_511 * int(each)) for each in times] == pytest.approx(
        theirs.cdf(times), rel=1e-9
    )
    assert float(found.expected) == pytest.approx(5_000 + 4_511 * theirs.mean(), rel=1e-12)


def rows(tries: list[list[Way]]) -> np.ndarray:
    """The chances of each sum from nothing up, by scipy's direct convolution."""
    every = np.ones(1)
    for line in tries:
        row = np.zeros(1 + max(sum(amount.minor for amount in way.amounts) for way in line))
        for way in line:
            row[sum(amount.minor for amount in way.amounts)] += way.weight
        every = signal.convolve(every, row / row.sum(), method="direct")
    return every


def test_seven_awkward_lines_are_what_scipy_convolves() -> None:
    tries = lines(Random(11), 7, [NONE], 101, True)
    tries = [
        [Way(way.weight, tuple(Amount(amount.minor // 9) for amount in way.amounts)) for way in line]
        for line in tries
    ]
    theirs = rows(tries)
    found = spread([], tries, TaxMode.NONE)
    gross = np.array([each for each, _ in found.chances()])
    assert np.array_equal(gross, np.flatnonzero(theirs))
    assert [chance for _, chance in found.chances()] == pytest.approx(theirs[gross], rel=1e-10)


def test_two_groups_too_long_to_count_are_what_each_convolves_to_taxed_and_then_joined() -> None:
    one, other = lines(Random(5), 6, [FIFTH], 101, True), lines(Random(6), 6, [TWENTIETH], 101, True)
    found = spread([], one + other, TaxMode.ADDED)
    alone = [spread([], each, TaxMode.ADDED).chances() for each in (one, other)]
    rows = []
    for chances in alone:
        row = np.zeros(1 + chances[-1][0])
        row[[gross for gross, _ in chances]] = [chance for _, chance in chances]
        rows.append(row)
    upto = signal.convolve(*rows, method="fft").cumsum()
    ceilings = range(found.lowest, found.highest + 1, 977)
    assert [found.chance_within(each) for each in ceilings] == pytest.approx(
        [upto[each] for each in ceilings], abs=1e-10
    )


@pytest.mark.parametrize(
    ("weights", "counts", "strength"),
    [([3, 1], [0, 5], 8), ([70, 20, 10], [1, 4, 2], 8), ([5, 9, 1, 2], [0, 0, 31, 1], 3)],
)
def test_a_posterior_is_the_mean_of_scipys_dirichlet(
    weights: list[int], counts: list[int], strength: int
) -> None:
    alpha = strength * np.array(weights) / sum(weights) + counts
    found = posterior(weights, counts, strength)
    shares = [each / sum(found) for each in found]
    assert shares == pytest.approx(stats.dirichlet(alpha).mean(), rel=1e-12)
    assert shares[0] == pytest.approx(stats.beta(alpha[0], alpha[1:].sum()).mean(), rel=1e-12)
