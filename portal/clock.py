"""The workshop's own time: pages speak of its days and hours, wherever the machine stands."""

from time import monotonic
from zoneinfo import ZoneInfo

from django.conf import settings

from jobs.models import Workshop

REMEMBERED_SECONDS = 30.0  # a change under Settings shows in every process within this time

_zone = ZoneInfo(settings.TIME_ZONE)
_until = 0.0


def zone() -> ZoneInfo:
    """The workshop's time zone; before the first run that of the settings. Asked of the database twice a minute at most."""
    if monotonic() >= _until:
        house = Workshop.objects.current()
        remember(house.time_zone if house else settings.TIME_ZONE)
    return _zone


def remember(name: str, seconds: float = REMEMBERED_SECONDS) -> None:
    """Take this zone for the next `seconds` without asking."""
    global _zone, _until
    _zone, _until = ZoneInfo(name), monotonic() + seconds
