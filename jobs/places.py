"""Which country the workshop is in, as far as its settings tell. Nobody is asked twice: the calendar of holidays says it, else the time zone."""

from babel.core import get_global

from jobs.models import Workshop


def country_of(house: Workshop | None) -> str:
    """ISO 3166-1 code of the workshop's country ("GB"), or "" where neither holidays nor time zone tell (UTC).

    Time zones lie in one country each by the CLDR, whose table Babel carries.
    """
    if house is None:
        return ""
    if house.holidays_in:
        return house.holidays_in.partition("-")[0]
    territories: dict[str, str] = get_global("zone_territories")
    found = territories.get(house.time_zone, "")
    return found if len(found) == 2 and found.isalpha() else ""
