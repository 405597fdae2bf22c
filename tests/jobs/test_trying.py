from fractions import Fraction
from itertools import product
from math import gcd
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs import convolving
from jobs.quoting import Amount, Tax, gross_of, total
from jobs.trying import TooMany, Way, posterior, spread
from jobs.words import TaxMode

TAXES = [Tax("S", 2000), Tax("S", 500), Tax("S", 1750), Tax("Z", 0), Tax("E", 0)]
modes = st.sampled_from(list(TaxMode))
amounts = st.builds(Amount, st.integers(-3_000, 30_000), st.sampled_from(TAXES))
ways = st.builds(Way, st.integers(1, 50), st.lists(amounts, max_size=2).map(tuple))
tries = st.lists(st.lists(ways, min_size=1, max_size=3), max_size=5)
fixed = st.lists(amounts, max_size=3)
guesses = st.lists(st.tuples(st.integers(1, 500), st.integers(0, 200)), min_size=1, max_size=5)

WIPES_OFF = Way(3)
POLISH = Way(1, (Amount(4_500),))


def many(number: int, taxes: list[Tax], ways: int = 4, seed: int = 8) -> list[list[Way]]:
    """Try-first lines at awkward prices, each with one tax, in turn; the first way of each adds nothing."""
    dice = Random(seed)

    def way(n: int, place: int) -> Way:
        adds = (Amount(dice.randrange(1_013, 15_013), taxes[n % len(taxes)]),) if place else ()
        return Way(dice.randrange(1, 40), adds)

    return [[way(n, place) for place in range(ways)] for n in range(number)]


def test_a_quote_without_tries_comes_to_one_total() -> None:
    found = spread([Amount(9_900, Tax("S", 2000))], [], TaxMode.ADDED)
    assert (found.lowest, found.expected, found.highest) == (11_880, 11_880, 11_880)
    assert found.chances() == [(11_880, 1.0)]


def test_haze_that_wipes_off_three_times_in_four_costs_a_quarter_of_the_polish_on_average() -> None:
    found = spread([Amount(10_000)], [[WIPES_OFF, POLISH]], TaxMode.NONE)
    assert (found.lowest, found.expected, found.highest) == (10_000, 11_125, 14_500)
    assert found.chances() == [(10_000, 0.75), (14_500, 0.25)]


def test_the_chance_of_staying_under_a_ceiling_counts_the_ceiling_itself() -> None:
    found = spread([], [[WIPES_OFF, POLISH], [WIPES_OFF, POLISH]], TaxMode.NONE)
    assert [found.chance_within(ceiling) for ceiling in (-1, 0, 4_499, 4_500, 8_999, 9_000)] == [
        0,
        9 / 16,
        9 / 16,
        15 / 16,
        15 / 16,
        1,
    ]


def test_added_tax_is_rounded_once_on_the_sum_of_all_that_was_tried() -> None:
    odd = [[Way(1, (Amount(3, Tax("S", 1000)),))]] * 5
    assert spread([], odd, TaxMode.ADDED).lowest == 15 + 2


def test_half_a_penny_more_than_expected_is_shown_as_a_penny() -> None:
    assert spread([], [[Way(1), Way(1, (Amount(1),))]], TaxMode.NONE).expected_minor == 1
    assert spread([], [[Way(1), Way(1, (Amount(-1),))]], TaxMode.NONE).expected_minor == -1


def test_a_try_that_adds_nothing_either_way_changes_nothing() -> None:
    found = spread([Amount(700)], [[Way(1), Way(5)]], TaxMode.ADDED)
    assert (found.lowest, found.highest, found.chance_within(700)) == (700, 700, 1)


def test_a_try_without_ways_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one way"):
        spread([], [[]], TaxMode.NONE)


@pytest.mark.parametrize("weight", [0, -2])
def test_a_way_that_never_happens_is_refused(weight: int) -> None:
    with pytest.raises(ValueError, match="no way"):
        Way(weight)


@given(fixed, tries, modes, st.randoms())
def test_the_order_of_tries_never_matters(
    fixed: list[Amount], tries: list[list[Way]], mode: TaxMode, dice: Random
) -> None:
    shuffled = [dice.sample(each, len(each)) for each in dice.sample(tries, len(tries))]
    one, other = spread(fixed, tries, mode), spread(fixed, shuffled, mode)
    assert (one.expected, one.chances()) == (other.expected, other.chances())


@given(fixed, tries, modes)
def test_all_chances_together_are_one_and_their_mean_is_the_expected(
    fixed: list[Amount], tries: list[list[Way]], mode: TaxMode
) -> None:
    found = spread(fixed, tries, mode)
    assert sum(chance for _, chance in found.chances()) == pytest.approx(1, abs=1e-12)
    assert sum(gross * chance for gross, chance in found.chances()) == pytest.approx(
        float(found.expected), abs=1e-6
    )


@given(fixed, tries, modes)
def test_lowest_and_highest_are_the_extremes_of_every_combination(
    fixed: list[Amount], tries: list[list[Way]], mode: TaxMode
) -> None:
    every = [
        total([*fixed, *(amount for way in chosen for amount in way.amounts)], mode).gross
        for chosen in product(*tries)
    ]
    found = spread(fixed, tries, mode)
    assert (found.lowest, found.highest) == (min(every), max(every))


@given(fixed, tries, modes, st.lists(st.integers(-30_000, 200_000)))
def test_a_higher_ceiling_is_never_less_likely_to_hold(
    fixed: list[Amount], tries: list[list[Way]], mode: TaxMode, ceilings: list[int]
) -> None:
    found = spread(fixed, tries, mode)
    ceilings = sorted([*ceilings, found.lowest - 1, found.lowest, found.highest - 1, found.highest])
    likely = [found.chance_within(each) for each in ceilings]
    assert likely == sorted(likely)
    assert found.chance_within(found.lowest - 1) == 0
    assert found.chance_within(found.lowest) > 0
    assert found.chance_within(found.highest) == 1


@given(st.integers(-200_000, 200_000), st.integers(1, 10_000))
def test_a_way_is_taxed_as_a_quote_is(net: int, rate: int) -> None:
    tax = Tax("S", rate)
    found = spread([], [[Way(1, (Amount(net, tax),))]], TaxMode.ADDED)
    assert found.lowest == found.expected == found.highest == gross_of(net, tax, TaxMode.ADDED)


@pytest.mark.parametrize("taxes", [TAXES[:1], TAXES[:2], TAXES[:4]])
def test_a_row_of_places_and_a_list_of_sums_say_the_same(
    taxes: list[Tax], monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = many(8, taxes, ways=3)
    listed = spread([Amount(12_345, taxes[0])], lines, TaxMode.ADDED)
    monkeypatch.setattr(convolving, "FEW", 1)
    placed = spread([Amount(12_345, taxes[0])], lines, TaxMode.ADDED)
    assert listed.expected == placed.expected
    assert [gross for gross, _ in listed.chances()] == [gross for gross, _ in placed.chances()]
    assert [chance for _, chance in listed.chances()] == pytest.approx(
        [chance for _, chance in placed.chances()], rel=1e-12
    )


def test_prices_in_whole_pounds_give_whole_pounds() -> None:
    lines = [[Way(1), Way(2, (Amount(100 * n),)), Way(3, (Amount(300 * n),))] for n in range(1, 13)]
    found = spread([], lines, TaxMode.NONE)
    assert {gross % 100 for gross, _ in found.chances()} == {0}
    assert found.highest == 300 * 78


def test_two_groups_with_many_tries_each_still_know_their_middle() -> None:
    found = spread([], many(20, TAXES[:2]), TaxMode.ADDED)
    assert len(found.parts) == 2
    assert found.chance_within(found.expected_minor) == pytest.approx(0.5, abs=0.05)
    assert 0.999 < found.chance_within(found.highest - 20_000) <= 1


def test_sixty_lines_know_the_ends_even_where_their_chance_is_too_small_for_a_number() -> None:
    rare = [[Way(10**7), Way(1, (Amount(1_000 + n),)), Way(1, (Amount(1_500 + n),))] for n in range(60)]
    found = spread([], rare, TaxMode.NONE)
    assert (found.lowest, found.highest) == (0, sum(1_500 + n for n in range(60)))


def test_more_than_can_be_worked_out_is_said_so() -> None:
    both = [[Way(1, (Amount(1_013 + 97 * n * k, TAXES[k % 2]),)) for k in range(4)] for n in range(1, 40)]
    with pytest.raises(TooMany):
        spread([], both, TaxMode.ADDED)


@given(guesses, st.integers(1, 20))
def test_a_posterior_without_counts_is_the_guess(guess: list[tuple[int, int]], strength: int) -> None:
    weights = [weight for weight, _ in guess]
    shared = gcd(*weights)
    assert posterior(weights, [0] * len(weights), strength) == tuple(each // shared for each in weights)


@given(guesses, st.data())
def test_counting_one_outcome_more_never_lowers_its_share(
    guess: list[tuple[int, int]], data: st.DataObject
) -> None:
    weights, counts = map(list, zip(*guess, strict=True))
    place = data.draw(st.integers(0, len(weights) - 1))
    before = posterior(weights, counts)
    counts[place] += data.draw(st.integers(1, 50))
    after = posterior(weights, counts)
    assert Fraction(after[place], sum(after)) >= Fraction(before[place], sum(before))


def test_eight_jobs_of_ones_own_weigh_as_much_as_the_guess() -> None:
    assert posterior([3, 1], [0, 8]) == (3, 5)


@pytest.mark.parametrize(
    ("weights", "counts", "strength"),
    [([], [], 8), ([1, 1], [1], 8), ([0, 1], [1, 1], 8), ([1, 1], [-1, 1], 8), ([1, 1], [1, 1], 0)],
)
def test_a_guess_that_is_none_is_refused(weights: list[int], counts: list[int], strength: int) -> None:
    with pytest.raises(ValueError):
        posterior(weights, counts, strength)


def test_a_posterior_can_be_tried() -> None:
    wipes_off, polish = posterior([3, 1], [2, 6])
    found = spread([], [[Way(wipes_off), Way(polish, (Amount(4_500),))]], TaxMode.NONE)
    assert found.expected == 4_500 * Fraction(8 + 4 * 6, 4 * 16)
