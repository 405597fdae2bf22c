from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.quoting import AN_HOUR, Amount, Tax, for_time, gross_of, total
from jobs.words import TaxCategory, TaxMode

minors = st.integers(min_value=-(10**7), max_value=10**7)
taxes = st.one_of(
    st.builds(Tax, st.just(TaxCategory.STANDARD.value), st.integers(min_value=0, max_value=3000)),
    st.sampled_from(
        [Tax(TaxCategory.ZERO.value), Tax(TaxCategory.EXEMPT.value), Tax(TaxCategory.OUTSIDE.value)]
    ),
)
amounts = st.lists(st.builds(Amount, minors, taxes), max_size=40)
modes = st.sampled_from(list(TaxMode))
STANDARD, REDUCED, EXEMPT = Tax("S", 2000), Tax("S", 500), Tax("E")


@given(amounts, modes, st.randoms())
def test_the_order_of_lines_never_changes_a_total(lines: list[Amount], mode: TaxMode, chance: Random) -> None:
    shuffled = chance.sample(lines, len(lines))
    assert total(shuffled, mode) == total(lines, mode)


@given(amounts, modes)
def test_the_parts_shown_add_up_to_the_total_shown(lines: list[Amount], mode: TaxMode) -> None:
    found = total(lines, mode)
    assert found.net + found.tax == found.gross
    assert all(group.net + group.due == group.gross for group in found.groups)


@given(amounts, modes)
def test_the_groups_add_up_to_the_total(lines: list[Amount], mode: TaxMode) -> None:
    found = total(lines, mode)
    assert found.net == sum(group.net for group in found.groups)
    assert found.tax == sum(group.due for group in found.groups)
    assert found.gross == sum(group.gross for group in found.groups)


@given(amounts, modes)
def test_each_category_and_rate_has_one_group_and_none_is_lost(lines: list[Amount], mode: TaxMode) -> None:
    groups = [group.tax for group in total(lines, mode).groups]
    assert groups == sorted({line.tax for line in lines})


@given(amounts)
def test_with_tax_included_the_customer_pays_what_the_lines_say(lines: list[Amount]) -> None:
    assert total(lines, TaxMode.INCLUDED).gross == sum(line.minor for line in lines)


@given(amounts)
def test_with_tax_added_the_net_is_what_the_lines_say(lines: list[Amount]) -> None:
    assert total(lines, TaxMode.ADDED).net == sum(line.minor for line in lines)


@given(amounts)
def test_without_tax_there_is_none(lines: list[Amount]) -> None:
    found = total(lines, TaxMode.NONE)
    assert (found.tax, found.gross) == (0, sum(line.minor for line in lines))


@given(amounts, modes)
def test_a_credit_note_is_the_negative_of_its_invoice_to_the_last_unit(
    lines: list[Amount], mode: TaxMode
) -> None:
    invoice = total(lines, mode)
    credit = total([Amount(-line.minor, line.tax) for line in lines], mode)
    assert (credit.net, credit.tax, credit.gross) == (-invoice.net, -invoice.tax, -invoice.gross)


@given(amounts, st.sampled_from([TaxMode.ADDED, TaxMode.INCLUDED]))
def test_rounding_moves_no_groups_tax_by_more_than_half_a_unit(lines: list[Amount], mode: TaxMode) -> None:
    """Whole numbers only: twice the difference, times what the rate is a part of, is at most that whole."""
    for group in total(lines, mode).groups:
        whole = 10_000 if mode == TaxMode.ADDED else 10_000 + group.tax.rate_bp
        base = group.net if mode == TaxMode.ADDED else group.gross
        assert 2 * abs(group.due * whole - base * group.tax.rate_bp) <= whole


@given(minors, taxes, modes)
def test_one_sum_by_itself_comes_to_the_same_as_alone_in_a_quote(minor: int, tax: Tax, mode: TaxMode) -> None:
    assert gross_of(minor, tax, mode) == total([Amount(minor, tax)], mode).gross


def test_a_fifth_of_the_net_is_a_sixth_of_the_gross() -> None:
    assert total([Amount(12000, STANDARD)], TaxMode.INCLUDED).tax == 2000


def test_two_rates_and_an_exempt_part_are_taxed_each_for_itself() -> None:
    lines = [Amount(10000, STANDARD), Amount(4000, REDUCED), Amount(2500, EXEMPT), Amount(5000, STANDARD)]
    found = total(lines, TaxMode.ADDED)
    assert [(group.tax, group.net, group.due) for group in found.groups] == [
        (EXEMPT, 2500, 0),
        (REDUCED, 4000, 200),
        (STANDARD, 15000, 3000),
    ]
    assert (found.net, found.tax, found.gross) == (21500, 3200, 24700)


def test_nothing_comes_to_nothing() -> None:
    found = total([], TaxMode.ADDED)
    assert (found.net, found.tax, found.gross, found.groups) == (0, 0, 0, ())


@pytest.mark.parametrize(("minor", "tax"), [(5, 1), (-5, -1), (4, 0), (-4, 0), (15, 2), (-15, -2)])
def test_half_a_unit_goes_away_from_nothing(minor: int, tax: int) -> None:
    assert total([Amount(minor, Tax("S", 1000))], TaxMode.ADDED).tax == tax


def test_a_negative_rate_is_refused() -> None:
    with pytest.raises(ValueError):
        Tax("S", -1)


@pytest.mark.parametrize("category", ["Z", "E", "O"])
def test_a_category_without_a_rate_is_refused_one(category: str) -> None:
    with pytest.raises(ValueError):
        Tax(category, 2000)


minutes = st.integers(min_value=0, max_value=100_000)
rates = st.integers(min_value=0, max_value=10**7)


@given(minutes, rates)
def test_time_costs_its_share_of_an_hour_to_the_nearest_unit(time: int, per_hour: int) -> None:
    assert 2 * abs(for_time(time, per_hour) * AN_HOUR - time * per_hour) <= AN_HOUR


@given(st.integers(min_value=0, max_value=1000), rates)
def test_whole_hours_cost_so_many_times_the_rate(hours: int, per_hour: int) -> None:
    assert for_time(hours * AN_HOUR, per_hour) == hours * per_hour


@given(minutes, minutes, rates)
def test_longer_never_costs_less(one: int, other: int, per_hour: int) -> None:
    shorter, longer = sorted((one, other))
    assert for_time(shorter, per_hour) <= for_time(longer, per_hour)


@pytest.mark.parametrize(
    ("time", "per_hour", "price"),
    [
        (90, 6000, 9000),
        (1, 6000, 100),
        (1, 30, 1),
        (1, 29, 0),
        (20, 5000, 1667),
        (40, 5000, 3333),
        (0, 6000, 0),
    ],
)
def test_half_a_unit_of_time_goes_up(time: int, per_hour: int, price: int) -> None:
    assert for_time(time, per_hour) == price


@pytest.mark.parametrize(("time", "per_hour"), [(-1, 6000), (10, -1)])
def test_time_and_its_price_are_never_below_nothing(time: int, per_hour: int) -> None:
    with pytest.raises(ValueError):
        for_time(time, per_hour)
