"""A camera that stays at home is counted, and nothing about its owner is kept."""

import pytest
from django.utils import timezone

from jobs.actions.settling import settle_at_home
from jobs.models import Customer, Job, SettledAtHome


@pytest.mark.django_db
def test_it_is_counted_by_explanation_day_and_kind_of_camera() -> None:
    settle_at_home("handling/set-to-bulb", "reflex")
    assert SettledAtHome.objects.values_list("key", "day", "kind").get() == (
        "handling/set-to-bulb",
        timezone.localdate(),
        "reflex",
    )


@pytest.mark.django_db
def test_nobody_and_no_job_comes_of_it() -> None:
    settle_at_home("handling/set-to-bulb", "reflex")
    assert not Customer.objects.exists()
    assert not Job.objects.exists()


def test_there_is_room_for_nothing_personal() -> None:
    assert {field.name for field in SettledAtHome._meta.get_fields()} == {"id", "key", "day", "kind"}
