"""Countries and regions whose public holidays are known, by name: what a workshop may choose for its calendar.

The places come from the `holidays` package, the countries' names from the CLDR (by Babel). Regions are called as the package calls
them; where it has no name for one, its ISO 3166-2 code stands.
"""

from functools import lru_cache

import holidays
from babel import Locale
from django.utils.translation import get_language, to_locale
from django.utils.translation import gettext as _

Choices = list[tuple[str, str]]


def is_known(place: str) -> bool:
    """Whether it is "" (nowhere), a country ("GB") or a region of one ("GB-SCT")."""
    country, dash, region = place.partition("-")
    return not place or (country in _supported() and (not dash or region in _supported()[country]))


def choices(near: str) -> list[tuple[str, str | Choices]]:
    """For a select: nowhere; the country `near` with its regions; all countries. A region elsewhere can be chosen
    once its country is."""
    here: list[tuple[str, str | Choices]] = []
    if near in _supported():
        here = [(country_name(near), [(near, _("all of it")), *_regions(near)])]
    elsewhere = [each for each in countries() if each[0] != near]
    return [("", _("no public holidays")), *here, (_("Elsewhere"), elsewhere)]


def countries() -> Choices:
    """Every country, by name."""
    return sorted(((code, country_name(code)) for code in _supported()), key=lambda each: each[1].casefold())


def place_name(place: str) -> str:
    """ "GB-SCT" -> "Scotland, United Kingdom"; "" for nowhere."""
    country, _dash, region = place.partition("-")
    if not place:
        return ""
    named = dict(_regions(country)).get(place, "")
    return f"{named}, {country_name(country)}" if region and named else country_name(country)


def country_name(code: str) -> str:
    locale = Locale.parse(to_locale(get_language() or "en-gb"))
    return str(locale.territories.get(code, code))


def _regions(country: str) -> Choices:
    """("GB-SCT", "Scotland"), by name."""
    codes = _supported().get(country, [])
    if not codes:
        return []
    names = {code: name for name, code in holidays.country_holidays(country).subdivisions_aliases.items()}
    return sorted(((f"{country}-{code}", names.get(code, code)) for code in codes), key=lambda each: each[1])


@lru_cache(maxsize=1)
def _supported() -> dict[str, list[str]]:
    return {
        country: list(regions)
        for country, regions in holidays.list_supported_countries(include_aliases=False).items()
        if len(country) == 2
    }
