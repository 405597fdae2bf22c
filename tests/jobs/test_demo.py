"""The demo is told by the real actions, so it is also a test of them on a whole year's worth of work."""

from collections.abc import Iterator
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.db import transaction
from django.db.models import Count
from django.test import override_settings
from django.utils import timezone

from jobs import demo, journal
from jobs.actions.linking import find_link
from jobs.library import get
from jobs.models import Entry, Job, Photo, SettledAtHome
from jobs.words import Mechanism, Stage

pytestmark = [pytest.mark.slow, pytest.mark.django_db]


@pytest.fixture(scope="module")
def told(
    django_db_setup: None, django_db_blocker: Any, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[int]:
    """Told once for all tests of this file, which only look; taken back afterwards."""
    media = override_settings(MEDIA_ROOT=tmp_path_factory.mktemp("media"))
    with django_db_blocker.unblock(), media, transaction.atomic():
        yield demo.load()
        transaction.set_rollback(True)


def test_the_demo_shows_every_stage_and_an_unbroken_journal(told: int) -> None:
    assert set(Job.objects.values_list("stage", flat=True)) == set(Stage)
    assert list(journal.verify_all()) == []


def test_no_camera_gathers_a_rewind_complaint_haze_and_bumps(told: int) -> None:
    three = {Mechanism.REWIND, Mechanism.LENS, Mechanism.COVERING}
    for job in Job.objects.annotate(n=Count("findings")).filter(n__gte=3):
        assert not three <= set(job.findings.values_list("mechanism", flat=True))


def test_nothing_in_the_demo_lies_in_the_future(told: int) -> None:
    assert Entry.objects.filter(at__gt=timezone.now()).count() == 0


def test_entries_of_each_job_follow_each_other_in_time(told: int) -> None:
    for job in Job.objects.all():
        times = list(job.entries.order_by("seq").values_list("at", flat=True))
        assert times == sorted(times), job


def test_every_photograph_is_developed(told: int) -> None:
    assert Photo.objects.count() >= 20
    assert set(Photo.objects.values_list("state", flat=True)) == {"ready"}


def test_cameras_that_stayed_at_home_were_settled_by_checks_that_the_library_has(told: int) -> None:
    keys = set(SettledAtHome.objects.values_list("key", flat=True))
    assert len(keys) == 3
    assert all(get(key).front.check for key in keys)


def test_the_doors_open_their_jobs(told: int) -> None:
    keys = [line.rsplit("/", 1)[1] for line in demo.doors() if "/open/" in line]
    assert len(keys) == len(demo.DOORS)
    assert all(find_link(key) for key in keys)


def test_it_is_not_told_over_a_workshop_that_is_there(told: int) -> None:
    with pytest.raises(CommandError):
        call_command("load_demo")
