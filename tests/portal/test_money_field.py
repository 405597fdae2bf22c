from typing import Any

import pytest
from django import forms
from django.utils.translation import override
from hypothesis import given
from hypothesis import strategies as st

from jobs import money
from portal.bench import fields as bench
from portal.money_field import LONGEST, MOST, MoneyField
from portal.office import fields as office


def form(currency: str, typed: str | None, **more: Any) -> forms.Form:
    class Priced(forms.Form):
        price = MoneyField(required=False, **more)

    made = Priced(None if typed is None else {"price": typed})
    made.fields["price"].currency = currency  # type: ignore[attr-defined]
    return made


def refusal(currency: str, typed: str) -> str:
    made = form(currency, typed)
    assert not made.is_valid(), made.cleaned_data
    (sentence,) = made.errors["price"]
    return sentence


def test_bench_and_office_have_the_same_field() -> None:
    assert bench.MoneyField is office.MoneyField is MoneyField


@pytest.mark.parametrize(
    ("currency", "typed", "minor"),
    [
        ("GBP", "85", 8500),
        ("GBP", "85.5", 8550),
        ("GBP", " £1,250.00 ", 125_000),
        ("GBP", "0", 0),
        ("GBP", "GBP 3", 300),
        ("JPY", "850", 850),
        ("JPY", "¥1,250", 1250),
        ("KWD", "85.125", 85_125),
        ("KWD", "85", 85_000),
        ("AUD", "$5", 500),
    ],
)
def test_what_is_typed_becomes_minor_units(currency: str, typed: str, minor: int) -> None:
    made = form(currency, typed)
    assert made.is_valid(), made.errors
    assert made.cleaned_data["price"] == minor


@pytest.mark.parametrize(
    ("currency", "typed", "sentence"),
    [
        ("GBP", "dear", "That is not an amount of money. Type it as 85 or 85.50."),
        ("GBP", "1e3", "That is not an amount of money. Type it as 85 or 85.50."),
        ("GBP", "1,2,3", "That is not an amount of money. Type it as 85 or 85.50."),
        ("GBP", "all of it", "That is not an amount of money. Type it as 85 or 85.50."),
        ("GBP", "£", "That is not an amount of money. Type it as 85 or 85.50."),
        ("JPY", "dear", "That is not an amount of money. Type it as 850."),
        ("KWD", "dear", "That is not an amount of money. Type it as 85 or 85.500."),
        ("GBP", "9" * (LONGEST + 1), "That is not an amount of money. Type it as 85 or 85.50."),
        ("GBP", "85.505", "Amounts in GBP have at most 2 places after the point. Type it as 85 or 85.50."),
        ("KWD", "85.1234", "Amounts in KWD have at most 3 places after the point. Type it as 85 or 85.500."),
        ("JPY", "850.50", "Amounts in JPY are whole numbers. Type it as 850."),
        ("GBP", "€85", "Amounts are in GBP here. Type it as 85 or 85.50."),
        ("GBP", "85 eur", "Amounts are in GBP here. Type it as 85 or 85.50."),
        ("AUD", "US$85", "Amounts are in AUD here. Type it as 85 or 85.50."),
        ("JPY", "£850", "Amounts are in JPY here. Type it as 850."),
        ("GBP", "-5", "An amount cannot be less than nothing."),
        ("GBP", "−5", "An amount cannot be less than nothing."),
        ("GBP", "£-0.01", "An amount cannot be less than nothing."),
        ("GBP", "1000000.01", "That is more than any repair costs. Look again."),
        ("JPY", "100000001", "That is more than any repair costs. Look again."),
        ("GBP", "9" * LONGEST, "That is more than any repair costs. Look again."),
    ],
)
def test_a_slip_is_told_in_a_sentence_that_fits_the_currency(
    currency: str, typed: str, sentence: str
) -> None:
    assert refusal(currency, typed) == sentence


def test_the_most_is_still_taken() -> None:
    made = form("GBP", "1,000,000")
    assert made.is_valid()
    assert made.cleaned_data["price"] == MOST


def test_a_field_may_have_a_limit_of_its_own() -> None:
    assert not form("GBP", "10.01", most=1000).is_valid()
    assert form("GBP", "10", most=1000).is_valid()


@pytest.mark.parametrize(("more", "empty"), [({}, 0), ({"empty_value": None}, None)])
@pytest.mark.parametrize("typed", ["", "   "])
def test_empty_is_nought_or_nothing_as_asked(typed: str, more: dict[str, Any], empty: int | None) -> None:
    made = form("GBP", typed, **more)
    assert made.is_valid()
    assert made.cleaned_data["price"] is empty or made.cleaned_data["price"] == empty == 0


def test_empty_is_refused_where_an_amount_is_needed() -> None:
    field = MoneyField()
    with pytest.raises(forms.ValidationError) as told:
        field.clean("")
    assert told.value.code == "required"
    assert field.clean("0") == 0


@pytest.mark.parametrize(
    ("currency", "minor", "shown"),
    [("GBP", 8550, "85.50"), ("GBP", 0, "0.00"), ("JPY", 850, "850"), ("KWD", 85_125, "85.125")],
)
def test_minor_units_are_shown_as_they_would_be_typed(currency: str, minor: int, shown: str) -> None:
    made = form(currency, None)
    made.initial = {"price": minor}
    assert f'value="{shown}"' in str(made["price"])


def test_what_was_typed_stays() -> None:
    assert 'value="€ eighty"' in str(form("GBP", "€ eighty")["price"])


@pytest.mark.parametrize(("currency", "keys"), [("GBP", "decimal"), ("KWD", "decimal"), ("JPY", "numeric")])
def test_a_telephone_offers_the_keys_that_the_currency_needs(currency: str, keys: str) -> None:
    assert f'inputmode="{keys}"' in str(form(currency, None)["price"])


def test_one_forms_currency_is_not_the_next_ones() -> None:
    class Priced(forms.Form):
        price = MoneyField()

    first, second = Priced(), Priced()
    first.fields["price"].currency = "JPY"  # type: ignore[attr-defined]
    assert 'inputmode="decimal"' in str(second["price"])
    assert second.fields["price"].currency == "GBP"  # type: ignore[attr-defined]


@given(st.integers(min_value=0, max_value=MOST), st.sampled_from(["GBP", "EUR", "JPY", "KWD"]))
def test_what_is_shown_reads_back_as_the_same_amount(minor: int, currency: str) -> None:
    field = MoneyField(currency=currency)
    assert field.clean(field.prepare_value(minor)) == minor
    assert field.clean(money.show(minor, currency)) == minor


@given(st.text(max_size=60))
def test_whatever_is_typed_is_an_amount_or_a_sentence(typed: str) -> None:
    made = form("GBP", typed)
    if made.is_valid():
        assert 0 <= made.cleaned_data["price"] <= MOST
    else:
        assert made.errors["price"]


@pytest.mark.parametrize(
    ("typed", "minor"), [("85", 8500), ("85,5", 8550), ("1.250,00 £", 125_000), ("1.250", 125_000)]
)
def test_on_a_german_page_an_amount_is_typed_as_germans_do(typed: str, minor: int) -> None:
    with override("de"):
        assert MoneyField().clean(typed) == minor
        assert MoneyField().clean(MoneyField().prepare_value(minor)) == minor


@pytest.mark.parametrize("typed", ["85.50", "1,250.00", "12,345"])
def test_an_amount_that_could_mean_another_on_a_german_page_is_asked_again(typed: str) -> None:
    with override("de"), pytest.raises(forms.ValidationError) as wrong:
        MoneyField().clean(typed)
    assert "85,50" in str(wrong.value)
