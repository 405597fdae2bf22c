from datetime import timedelta

import time_machine
from django.utils import timezone

from jobs.actions import linking
from jobs.models import Opening, PrivateLink
from tests.cast import Cast


def test_a_key_has_256_bits_and_opens_its_own_job(cast: Cast) -> None:
    job = cast.book()
    key = linking.issue_link(job)
    assert len(key) == len("j_") + 43
    assert linking.find_link(key).job == job  # type: ignore[union-attr]


def test_the_key_itself_is_nowhere_in_the_database(cast: Cast) -> None:
    key = linking.issue_link(cast.book())
    assert key not in str(PrivateLink.objects.values())


def test_no_two_keys_are_alike(cast: Cast) -> None:
    job = cast.book()
    assert len({linking.issue_link(job) for _ in range(50)}) == 50


def test_a_key_that_was_never_made_opens_nothing(cast: Cast) -> None:
    assert linking.find_link("j_guessed") is None


def test_a_link_dies_by_itself(cast: Cast) -> None:
    job = cast.book()
    linking.issue_link(job)
    with time_machine.travel(timezone.now() + timedelta(days=181), tick=False):
        assert not PrivateLink.objects.live().exists()


def test_all_links_of_a_job_can_be_revoked_but_one(cast: Cast) -> None:
    job = cast.book()
    first, *_others = (linking.issue_link(job) for _ in range(3))
    keep = linking.find_link(first)
    assert linking.revoke_links(job, keep) == 2
    assert list(PrivateLink.objects.live()) == [keep]


def test_two_devices_on_one_link_are_seen_as_two(cast: Cast) -> None:
    link = linking.find_link(linking.issue_link(cast.book()))
    assert link
    for device in ("phone", "tablet", "phone"):
        linking.note_opening(link, device)
    assert Opening.objects.count() == 2


def test_reading_is_noted_once_a_minute_and_never_journalled(cast: Cast) -> None:
    job = cast.book()
    linking.note_reading(job)
    job.refresh_from_db()
    first = job.opened_at
    linking.note_reading(job)
    job.refresh_from_db()
    assert job.opened_at == first
    assert job.entries.count() == 1


def test_a_visit_just_after_a_new_stage_counts_however_short_the_time(cast: Cast) -> None:
    job = cast.book()
    linking.note_reading(job)
    cast.job_at("quoted", job)
    linking.note_reading(job)
    job.refresh_from_db()
    assert job.opened_at
    assert job.opened_at >= job.stage_since
