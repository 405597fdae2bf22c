from decimal import Decimal

import pytest

from jobs import money


@pytest.mark.parametrize(
    ("typed", "minor"), [("85", 8500), ("85.5", 8550), ("£1,250.00", 125000), (" 0 ", 0), ("GBP 3", 300)]
)
def test_typed_amounts_are_read_in_minor_units(typed: str, minor: int) -> None:
    assert money.read(typed, "GBP") == minor


@pytest.mark.parametrize("typed", ["", "many", "1.234", "1,2,3", "1e3", "NaN", "Infinity", "--5"])
def test_what_is_not_an_amount_is_refused(typed: str) -> None:
    with pytest.raises(money.BadMoney):
        money.read(typed, "GBP")


@pytest.mark.parametrize(
    ("typed", "currency"), [("1.005", "GBP"), ("850.5", "JPY"), ("85." + "0" * 28 + "1", "GBP")]
)
def test_an_amount_with_a_coin_too_small_is_told_apart_and_never_rounded(typed: str, currency: str) -> None:
    with pytest.raises(money.TooFine):
        money.read(typed, currency)


def test_a_number_beyond_all_measure_is_refused() -> None:
    with pytest.raises(money.BadMoney):
        money.read("1" * 500, "GBP")


def test_a_currency_without_small_change_has_none() -> None:
    assert money.to_decimal(850, "JPY") == Decimal(850)


@pytest.mark.parametrize(
    ("typed", "currency"), [("¥850", "JPY"), ("JP¥850", "JPY"), ("JPY 850", "JPY"), ("$850", "USD")]
)
def test_the_bare_sign_of_a_currency_is_read_as_the_long_one(typed: str, currency: str) -> None:
    assert money.read(typed, currency) == 850 * 10 ** money.places(currency)


def test_another_currencys_sign_is_refused() -> None:
    with pytest.raises(money.BadMoney):
        money.read("$85", "GBP")


def test_an_amount_is_written_as_the_language_that_is_spoken_writes_it() -> None:
    from django.utils.translation import override

    with override("de"):
        assert money.show(123450, "EUR").replace("\xa0", " ") == "1.234,50 €"
        assert money.show(8500, "GBP").replace("\xa0", " ") == "85 £"
    with override("en-gb"):
        assert money.show(123450, "EUR") == "€1,234.50"
