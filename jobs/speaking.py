"""In whose language and time a text for one person is written, whoever makes it."""

from collections.abc import Iterator
from contextlib import contextmanager
from zoneinfo import ZoneInfo

from django.utils import timezone
from django.utils.translation import override

from jobs.models import Workshop


@contextmanager
def speaking(language: str, house: Workshop | None) -> Iterator[None]:
    """In this language, and in the workshop's own time."""
    zone = ZoneInfo(house.time_zone) if house else timezone.get_default_timezone()
    with override(language), timezone.override(zone):
        yield
