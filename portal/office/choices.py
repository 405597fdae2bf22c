"""What can be chosen when a workshop is set up: currencies in use today, and time zones."""

from datetime import date
from functools import lru_cache

from babel.core import get_global
from babel.numbers import get_currency_name
from django.utils import timezone
from django.utils.translation import get_language, to_locale

from jobs.working_days import zone_names

NO_PLACES = (
    "Etc/",
    "SystemV/",
    "US/",
    "Brazil/",
    "Canada/",
    "Chile/",
    "Mexico/",
)  # old names of zones that have better ones


@lru_cache(maxsize=1)
def in_use() -> frozenset[str]:
    """ISO 4217 codes that are legal tender somewhere today, from the supplemental data of CLDR (by Babel)."""
    today = timezone.localdate()
    return frozenset(
        code
        for uses in get_global("territory_currencies").values()
        for code, _start, end, tender in uses
        if tender and (end is None or date(*end) >= today)
    )


def currencies() -> list[tuple[str, str]]:
    """(code, "British Pound (GBP)"), by name, as a form wants them."""
    locale = to_locale(get_language() or "en-gb")
    named = [(code, f"{get_currency_name(code, locale=locale)} ({code})") for code in in_use()]
    return sorted(named, key=lambda each: each[1].casefold())


@lru_cache(maxsize=1)
def time_zones() -> list[tuple[str, str]]:
    """("Europe/London", "Europe/London"), and UTC."""
    places = sorted(zone for zone in zone_names() if "/" in zone and not zone.startswith(NO_PLACES))
    return [(zone, zone.replace("_", " ")) for zone in [*places, "UTC"]]
