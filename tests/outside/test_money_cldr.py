"""Money as CLDR writes it, asked of Babel, and the minor units of ISO 4217 (from its published list: JPY 0, GBP 2, TND 3)."""

import pytest
from babel.numbers import format_currency
from hypothesis import given
from hypothesis import strategies as st

from jobs import money


@pytest.mark.parametrize(("currency", "places"), [("GBP", 2), ("EUR", 2), ("JPY", 0), ("TND", 3), ("KWD", 3)])
def test_minor_units_are_those_of_iso_4217(currency: str, places: int) -> None:
    assert money.places(currency) == places


@pytest.mark.parametrize("locale", ["en_GB", "de_DE", "fr_FR", "ja_JP"])
@pytest.mark.parametrize("currency", ["GBP", "EUR", "JPY", "TND"])
@given(minor=st.integers(min_value=-(10**9), max_value=10**9))
def test_an_amount_with_a_fraction_is_written_exactly_as_cldr_writes_it(
    minor: int, currency: str, locale: str
) -> None:
    shown = money.show(minor, currency, locale)
    amount = money.to_decimal(minor, currency)
    if amount != amount.to_integral_value() or money.places(currency) == 0:
        assert shown == format_currency(amount, currency, locale=locale)


@pytest.mark.parametrize(
    ("minor", "currency", "locale", "shown"),
    [
        (8500, "GBP", "en_GB", "£85"),
        (8550, "GBP", "en_GB", "£85.50"),
        (123456789, "GBP", "en_GB", "£1,234,567.89"),
        (8500, "EUR", "de_DE", "85\xa0€"),
        (850, "JPY", "ja_JP", "￥850"),
    ],
)
def test_whole_amounts_leave_their_noughts_out(minor: int, currency: str, locale: str, shown: str) -> None:
    assert money.show(minor, currency, locale) == shown


@given(minor=st.integers(min_value=0, max_value=10**9))
def test_what_is_written_reads_back_as_the_same_amount(minor: int) -> None:
    assert money.read(money.show(minor, "GBP"), "GBP") == minor
