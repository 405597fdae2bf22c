"""Exact money: integer minor units in the database, Decimal in sums, CLDR for people. No floats, no ORM.

Minor units per currency (GBP 2, JPY 0, ...) are those of ISO 4217 as carried by CLDR (Babel).
"""

import unicodedata
from decimal import Context, Decimal, Inexact, InvalidOperation
from functools import lru_cache

from babel.numbers import (
    NumberFormatError,
    format_currency,
    get_currency_precision,
    get_currency_symbol,
    list_currencies,
    parse_decimal,
)
from django.utils.translation import get_language, to_locale


class BadMoney(ValueError):
    """The text is not an amount of money in this currency."""


class TooFine(BadMoney):
    """It is an amount, but this currency has no coin so small."""


_EXACT = Context(
    prec=100, traps=[Inexact, InvalidOperation]
)  # figures beyond it are refused, never rounded away


@lru_cache(maxsize=64)
def places(currency: str) -> int:
    """Number of decimal places that a currency has."""
    return get_currency_precision(currency)


@lru_cache(maxsize=1)
def currencies() -> frozenset[str]:
    """ISO 4217 codes that CLDR knows."""
    return frozenset(list_currencies())


def to_decimal(minor: int, currency: str) -> Decimal:
    """1250, "GBP" -> Decimal("12.50")."""
    return Decimal(minor).scaleb(-places(currency))


def read(text: str, currency: str, locale: str = "en_GB") -> int:
    """Read what a person typed ("85", "85.5", "£1,250.00") as minor units. Raises BadMoney, and TooFine for too many decimals."""
    symbol = get_currency_symbol(currency, locale=locale)
    bare = text.replace(symbol, "").replace(currency, "").strip()
    bare = bare.strip(
        "".join(char for char in symbol if unicodedata.category(char) == "Sc")
    ).strip()  # ¥ of JP¥
    if any(char.isalpha() for char in bare):
        raise BadMoney(text)  # "1e3" is a number to Decimal, not to people
    try:
        amount = parse_decimal(bare, locale=locale, strict=True)
    except (NumberFormatError, InvalidOperation) as error:
        raise BadMoney(text) from error
    if not amount.is_finite():
        raise BadMoney(text)
    try:
        scaled = amount.scaleb(places(currency), context=_EXACT)
    except (Inexact, InvalidOperation) as error:
        raise BadMoney(text) from error
    if scaled != scaled.to_integral_value():
        raise TooFine(text)
    return int(scaled)


def show(minor: int, currency: str, locale: str = "") -> str:
    """Write an amount for people: £85 when whole, £85.50 when not, by the pattern of `locale`, or of the language being spoken."""
    return _shown(minor, currency, locale or to_locale(get_language() or "en-gb"))


@lru_cache(maxsize=4096)
def _shown(minor: int, currency: str, locale: str) -> str:
    amount = to_decimal(minor, currency)
    if amount == amount.to_integral_value():
        return format_currency(
            amount, currency, locale=locale, currency_digits=False, format=_whole_pattern(locale)
        )
    return format_currency(amount, currency, locale=locale)


@lru_cache(maxsize=16)
def _whole_pattern(locale: str) -> str:
    from babel import Locale

    pattern: str = Locale.parse(locale).currency_formats["standard"].pattern
    return pattern.replace(".00", "")
