"""Which country the workshop is in. Nobody is asked twice: its calendar of holidays says it, else its time zone."""

from babel.core import get_global

from jobs.models import Workshop
from jobs.working_days import NoSuchPlace, check_place


def country_of(house: Workshop | None) -> str:
    """ISO 3166-1 code of the workshop's country ("GB"), or "" where neither holidays nor time zone tell (UTC).

    Time zones lie in one country each by the CLDR, whose table Babel carries.
    """
    if house is None:
        return ""
    if house.holidays_in:
        return house.holidays_in.partition("-")[0]
    found = str(get_global("zone_territories").get(house.time_zone, ""))
    return found if len(found) == 2 and found.isalpha() else ""


def holidays_of(house: Workshop) -> str:
    """The public holidays to begin with: those of its whole country, or "" where we cannot tell it or do not know them."""
    country = country_of(house)
    try:
        check_place(country or "?")
    except NoSuchPlace:
        return ""
    return country
