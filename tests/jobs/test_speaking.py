"""A text is written in its reader's language and the workshop's time, and nothing of that stays behind."""

from django.conf import settings
from django.utils import timezone
from django.utils.translation import get_language

from jobs.models import Workshop
from jobs.speaking import speaking


def test_it_is_the_readers_language_and_the_workshops_time() -> None:
    with speaking("de", Workshop(time_zone="Pacific/Auckland")):
        assert (get_language(), timezone.get_current_timezone_name()) == ("de", "Pacific/Auckland")


def test_afterwards_all_is_as_it_was() -> None:
    before = get_language(), timezone.get_current_timezone_name()
    with speaking("de", Workshop(time_zone="Pacific/Auckland")):
        pass
    assert (get_language(), timezone.get_current_timezone_name()) == before


def test_before_there_is_a_workshop_the_settings_name_the_time() -> None:
    with speaking("de", None):
        assert timezone.get_current_timezone_name() == settings.TIME_ZONE
