"""Who develops a photograph: one worker, again after a crash, three times at most; and nobody waits for ever."""

from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from pathlib import Path

import pytest
import redis
from django.db import connections
from django.utils import timezone

from jobs.actions.photo import LEASE, MAX_ATTEMPTS, add_photo, claim_photo, photo_failed, photo_is_ready
from jobs.darkroom import store
from jobs.models import Photo
from jobs.tasks import develop_photo, sweep_photos
from tests.cast import make_cast
from tests.jobs.darkroom import pictures


def waiting(content: bytes | None = None) -> Photo:
    """A photograph that lies in the incoming folder."""
    whole = pictures.saved(pictures.quarters()) if content is None else content
    job = make_cast().book()
    return add_photo(store.keep_incoming([whole]), Photo.Purpose.STORY, job=job, file_name="IMG_1.jpg")


def its_lease_ran_out(photo: Photo) -> None:
    Photo.objects.filter(pk=photo.pk).update(lease_until=timezone.now() - timedelta(seconds=1))


@pytest.mark.django_db(transaction=True)
def test_of_two_workers_that_try_at_once_one_gets_it() -> None:
    photo = waiting()

    def claim(_worker: int) -> Photo | None:
        try:
            return claim_photo(photo.pk)
        finally:
            connections.close_all()

    with ThreadPoolExecutor(8) as workers:
        got = [claimed for claimed in workers.map(claim, range(8)) if claimed]
    assert len(got) == 1
    photo.refresh_from_db()
    assert photo.attempts == 1


def test_while_one_works_on_it_nobody_else_may(db: None) -> None:
    photo = waiting()
    assert claim_photo(photo.pk)
    assert claim_photo(photo.pk) is None


def test_a_crashed_workers_lease_runs_out(db: None) -> None:
    photo = waiting()
    claim_photo(photo.pk)
    its_lease_ran_out(photo)
    again = claim_photo(photo.pk)
    assert again
    assert again.attempts == 2


def test_a_lease_outlasts_the_longest_that_a_child_may_take() -> None:
    from jobs.darkroom.process import SECONDS

    assert timedelta(seconds=SECONDS) < LEASE


def test_after_three_tries_that_killed_the_worker_it_counts_as_unreadable(db: None) -> None:
    photo = waiting()
    for _ in range(MAX_ATTEMPTS):
        assert claim_photo(photo.pk)
        its_lease_ran_out(photo)
    develop_photo(photo.pk)
    photo.refresh_from_db()
    assert (photo.state, photo.problem) == ("failed", "We tried three times and could not open this photo.")


def test_one_that_is_ready_or_failed_is_not_claimed_again(db: None) -> None:
    ready, failed = waiting(), add_photo("incoming/x", Photo.Purpose.STORY, job=Photo.objects.get().job)
    photo_is_ready(ready, width=1, height=1, sizes={"1": "ab/x.jpg"})
    photo_failed(failed, "It cannot be read.")
    assert claim_photo(ready.pk) is None
    assert claim_photo(failed.pk) is None


def test_a_late_worker_does_not_undo_what_another_has_done(db: None) -> None:
    photo = waiting()
    photo_is_ready(photo, width=640, height=480, sizes={"640": "ab/x.jpg"})
    photo_failed(photo, "It cannot be read.")
    photo.refresh_from_db()
    assert photo.state == "ready"


def test_developing_stores_the_sizes_and_forgets_what_was_sent(db: None, media: Path) -> None:
    photo = waiting()
    develop_photo(photo.pk)
    photo.refresh_from_db()
    assert (photo.state, photo.width, photo.height, photo.incoming) == ("ready", 640, 480, "")
    assert not list(media.glob("incoming/*"))
    assert all(store.path(name).exists() for name in photo.sizes.values())


def test_one_that_cannot_be_read_says_why(db: None) -> None:
    photo = waiting(b"\xff\xd8\xff" + b"rubbish" * 100)
    develop_photo(photo.pk)
    photo.refresh_from_db()
    assert (photo.state, photo.problem) == ("failed", "This photo arrived damaged. Please send it once more.")


def test_the_sweep_wakes_the_darkroom_for_one_that_nobody_was_woken_for(
    db: None, broker: redis.Redis
) -> None:
    late, fresh = waiting(), add_photo("incoming/x", Photo.Purpose.STORY, job=Photo.objects.get().job)
    Photo.objects.filter(pk=late.pk).update(added_at=timezone.now() - timedelta(minutes=5))
    sweep_photos()
    assert broker.llen("benchletter:media") == 1
    assert fresh.state == "processing"
