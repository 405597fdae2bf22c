"""Countries by their names in the reader's language (CLDR, by Babel)."""

from functools import lru_cache

import holidays
from babel import Locale
from django.utils.translation import get_language, to_locale


def name_of(country: str) -> str:
    """ "GB" -> "United Kingdom"; the code itself where the CLDR has no name."""
    return str(_locale(_tongue()).territories.get(country, country))


def with_holidays() -> list[tuple[str, str]]:
    """(code, name) of every country whose public holidays are known, by name."""
    return _with_holidays(_tongue())


@lru_cache(maxsize=8)
def _with_holidays(tongue: str) -> list[tuple[str, str]]:
    names = _locale(tongue).territories
    named = [
        (code, str(names[code]))
        for code in holidays.list_supported_countries()
        if len(code) == 2 and code in names
    ]
    return sorted(named, key=lambda each: each[1].casefold())


@lru_cache(maxsize=8)
def _locale(tongue: str) -> Locale:
    return Locale.parse(tongue)


def _tongue() -> str:
    return to_locale(get_language() or "en-gb")
