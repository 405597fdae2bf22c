"""A real upload over HTTP, a real broker, a real Celery worker: until the photograph is served."""

import time
from collections.abc import Callable
from datetime import timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from jobs.actions.linking import find_link, issue_link
from jobs.actions.photo import LEASE
from jobs.models import Job, Photo
from jobs.tasks import sweep_photos
from portal.access import OPENED
from tests.cast import Cast, make_cast
from tests.jobs.darkroom import pictures
from tests.services import Worker, wait_until

pytestmark = [pytest.mark.worker, pytest.mark.django_db(transaction=True)]

Start = Callable[..., Worker]


@pytest.fixture
def cast(transactional_db: None) -> Cast:
    return make_cast()


@pytest.fixture
def job(cast: Cast) -> Job:
    return cast.job_at("examining")


@pytest.fixture
def jory(cast: Cast) -> Client:
    browser = Client()
    browser.force_login(cast.technician_user)
    return browser


def send(browser: Client, job: Job, content: bytes) -> Photo:
    file = SimpleUploadedFile("IMG_0001.jpg", content, "image/jpeg")
    address = reverse("bench_photos", args=[job.ref])
    answer = browser.post(address, {"photos": file, "purpose": "arrival"}, headers={"HX-Request": "true"})
    assert answer.status_code == 200
    return job.photos.get()


def settled(photo: Photo) -> Photo | None:
    photo.refresh_from_db()
    return None if photo.state == Photo.State.PROCESSING else photo


def test_an_upload_is_developed_and_served_to_those_who_may_see_it(
    start_worker: Start, jory: Client, job: Job
) -> None:
    start_worker("media")
    photo = (
        wait_until(lambda: settled(sent), 30, "the photograph")
        if (sent := send(jory, job, pictures.with_place()))
        else None
    )
    assert photo
    assert photo.state == "ready", photo.problem
    served = jory.get(reverse("photo", args=[photo.uid, 400])).getvalue()
    assert served.startswith(b"\xff\xd8\xff")
    assert b"Nightjar" not in served


def test_a_bomb_fails_with_a_sentence_and_the_worker_goes_on(
    start_worker: Start, jory: Client, job: Job
) -> None:
    start_worker("media")
    bomb = wait_until(lambda: settled(sent), 30) if (sent := send(jory, job, pictures.bomb(30_000))) else None
    assert bomb
    assert bomb.problem == "This photo is too large to open. A smaller copy will do."
    bomb.delete()
    good = send(jory, job, pictures.saved(pictures.quarters()))
    assert wait_until(lambda: settled(good), 30).state == "ready"


def test_the_sweep_finds_an_upload_whose_message_was_lost(
    start_worker: Start, jory: Client, job: Job, broker: object
) -> None:
    photo = send(jory, job, pictures.saved(pictures.quarters()))
    broker.flushdb()  # type: ignore[attr-defined]
    start_worker("media")
    time.sleep(1)
    assert settled(photo) is None
    Photo.objects.filter(pk=photo.pk).update(added_at=timezone.now() - timedelta(minutes=1))
    sweep_photos()
    assert wait_until(lambda: settled(photo), 30).state == "ready"


def test_a_worker_killed_in_the_middle_leaves_it_for_the_next(
    start_worker: Start, jory: Client, job: Job
) -> None:
    first = start_worker("media")
    photo = send(jory, job, pictures.grain(6_000, 4_500))

    def claimed() -> bool:
        photo.refresh_from_db()
        return photo.attempts > 0

    wait_until(claimed, 30, "the first try")
    first.kill()
    assert settled(photo) is None
    Photo.objects.filter(pk=photo.pk).update(
        lease_until=timezone.now() - LEASE, added_at=timezone.now() - LEASE
    )
    start_worker("media")
    sweep_photos()
    assert wait_until(lambda: settled(photo), 40).state == "ready"
    assert photo.attempts == 2


def test_what_is_served_is_never_what_was_sent(start_worker: Start, jory: Client, job: Job) -> None:
    start_worker("media")
    photo = send(jory, job, pictures.saved(pictures.quarters(), "PNG") + pictures.SCRIPT)
    assert wait_until(lambda: settled(photo), 30).state == "ready"
    customer = Client()
    session = customer.session
    session[OPENED] = {job.ref: find_link(issue_link(job)).pk}  # type: ignore[union-attr]
    session.save()
    answer = customer.get(reverse("photo", args=[photo.uid, 800]))
    assert b"<script" not in answer.getvalue()
    assert answer.headers["Content-Type"] == "image/jpeg"
