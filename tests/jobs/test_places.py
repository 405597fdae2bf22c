import pytest

from jobs.models import Workshop
from jobs.places import country_of


@pytest.mark.parametrize(
    ("holidays_in", "time_zone", "country"),
    [
        ("GB-ENG", "Europe/Paris", "GB"),
        ("", "Europe/London", "GB"),
        ("", "Europe/Berlin", "DE"),
        ("", "UTC", ""),
        ("", "nowhere", ""),
    ],
)
def test_the_country_is_that_of_the_holidays_else_that_of_the_time_zone(holidays_in, time_zone, country):
    assert country_of(Workshop(holidays_in=holidays_in, time_zone=time_zone)) == country


def test_before_the_first_run_there_is_no_country():
    assert country_of(None) == ""
