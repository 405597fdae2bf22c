import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.quoting import total
from jobs.words import TaxMode

prices = st.lists(st.integers(min_value=0, max_value=10**7), max_size=60)
rates = st.integers(min_value=0, max_value=3000)
modes = st.sampled_from(list(TaxMode))


@given(prices, modes, rates, st.randoms())
def test_the_order_of_lines_never_changes_a_total(
    amounts: list[int], mode: TaxMode, rate: int, random: object
) -> None:
    shuffled = sorted(amounts, key=lambda _: random.random())  # type: ignore[attr-defined]
    assert total(shuffled, mode, rate) == total(amounts, mode, rate)


@given(prices, modes, rates)
def test_the_parts_shown_add_up_to_the_total_shown(amounts: list[int], mode: TaxMode, rate: int) -> None:
    found = total(amounts, mode, rate)
    assert found.net + found.tax == found.gross


@given(prices, rates)
def test_with_tax_included_the_customer_pays_what_the_lines_say(amounts: list[int], rate: int) -> None:
    assert total(amounts, TaxMode.INCLUDED, rate).gross == sum(amounts)


@given(prices, rates)
def test_without_tax_there_is_none(amounts: list[int], rate: int) -> None:
    assert total(amounts, TaxMode.NONE, rate).tax == 0


def test_a_fifth_of_the_net_is_a_sixth_of_the_gross() -> None:
    assert total([12000], TaxMode.INCLUDED, 2000).tax == 2000


def test_a_negative_rate_is_refused() -> None:
    with pytest.raises(ValueError):
        total([100], TaxMode.ADDED, -1)
