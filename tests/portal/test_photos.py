"""Photographs are served here and nowhere else: which bytes, with which headers, to whom."""

from collections.abc import Callable
from pathlib import Path

import pytest
from django.http import FileResponse
from django.test import Client
from django.urls import reverse

from jobs.actions.finding import Draft, keep
from jobs.actions.linking import revoke_links
from jobs.actions.photo import add_photo, photo_is_ready
from jobs.darkroom import store
from jobs.darkroom.process import Developed, develop
from jobs.models import Job, Photo
from tests.cast import Cast
from tests.jobs.darkroom import pictures
from tests.once import made_once
from tests.portal.conftest import Visitor


@pytest.fixture
def job(cast: Cast) -> Job:
    return made_once(cast.job_at, "examining")


@pytest.fixture
def photo(job: Job, media: Path) -> Photo:
    return hang(job)


def hang(job: Job, **more: object) -> Photo:
    content = pictures.saved(pictures.quarters(1700, 1200))
    photo = add_photo(store.keep_incoming([content]), "arrival", job=job, **more)
    done = develop(photo.incoming)
    assert isinstance(done, Developed)
    photo_is_ready(photo, width=done.width, height=done.height, sizes=done.sizes)
    photo.refresh_from_db()
    return photo


@pytest.fixture
def look(db: None, request: pytest.FixtureRequest) -> Callable[..., FileResponse]:
    """Asks for a photograph, and closes what it gets in the end."""
    answers: list[FileResponse] = []

    def ask(browser: Client, photo: Photo, width: int = 400) -> FileResponse:
        answers.append(browser.get(reverse("photo", args=[photo.uid, width])))
        return answers[-1]

    request.addfinalizer(lambda: [answer.close() for answer in answers])  # noqa: PT021  one fixture, many answers
    return ask


Look = Callable[..., FileResponse]


@pytest.mark.parametrize(
    ("asked", "served"), [(400, "400"), (800, "800"), (1600, "1600"), (1, "400"), (9999, "1600")]
)
def test_the_bytes_served_are_the_stored_ones_of_the_nearest_size(
    look: Look, as_customer: Visitor, job: Job, photo: Photo, asked: int, served: str
) -> None:
    answer = look(as_customer(job), photo, asked)
    assert answer.getvalue() == store.path(photo.sizes[served]).read_bytes()


def test_a_browser_is_told_that_it_is_a_jpeg_and_can_do_nothing(
    look: Look, as_customer: Visitor, job: Job, photo: Photo
) -> None:
    headers = look(as_customer(job), photo).headers
    assert headers["Content-Type"] == "image/jpeg"
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Content-Security-Policy"] == "default-src 'none'; sandbox"
    assert headers["Content-Disposition"] == f'inline; filename="{photo.uid}.jpg"'
    assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert headers["Cache-Control"].startswith("private")


def test_staff_see_it(look: Look, as_staff: Visitor, cast: Cast, photo: Photo) -> None:
    assert look(as_staff(cast.technician_user), photo).status_code == 200


def test_a_stranger_gets_the_same_answer_as_for_no_such_photograph(
    look: Look, nobody: Client, photo: Photo
) -> None:
    assert look(nobody, photo).status_code == 404
    photo.uid = "00000000-0000-0000-0000-000000000000"
    assert look(nobody, photo).status_code == 404


def test_the_customer_of_another_job_gets_it_neither(
    look: Look, as_customer: Visitor, cast: Cast, photo: Photo
) -> None:
    assert look(as_customer(cast.another_book()), photo).status_code == 404


def test_a_link_that_was_revoked_shows_it_no_more(
    look: Look, as_customer: Visitor, job: Job, photo: Photo
) -> None:
    browser = as_customer(job)
    assert look(browser, photo).status_code == 200
    revoke_links(job)
    assert look(browser, photo).status_code == 404


def test_the_photograph_of_a_draft_is_hidden_from_the_customer_and_not_from_staff(
    look: Look, as_customer: Visitor, as_staff: Visitor, cast: Cast, job: Job
) -> None:
    draft = keep(job, Draft("lens", "seen", "explains", "pictures", "Haze"))
    photo = hang(job, finding=draft)
    Photo.objects.update(purpose="finding")
    assert look(as_customer(job), photo).status_code == 404
    assert look(as_staff(cast.technician_user), photo).status_code == 200


@pytest.mark.parametrize("state", ["processing", "failed"])
def test_one_that_is_not_ready_is_not_served(
    look: Look, as_staff: Visitor, cast: Cast, photo: Photo, state: str
) -> None:
    Photo.objects.update(state=state)
    assert look(as_staff(cast.owner_user), photo).status_code == 404


def test_no_file_has_an_address_of_its_own(nobody: Client, photo: Photo) -> None:
    for address in (
        f"/media/{photo.sizes['400']}",
        f"/{photo.sizes['400']}",
        f"/static/{photo.sizes['400']}",
    ):
        assert nobody.get(address).status_code == 404


def test_an_unfinished_bookings_photograph_belongs_to_its_own_browser(
    look: Look, nobody: Client, photo: Photo
) -> None:
    Photo.objects.update(job=None, basket="5d3c9c3e-7a0b-4f7c-8f5b-6f3c2a1b0d9e")
    assert look(nobody, photo).status_code == 404
    browser = Client()
    session = browser.session
    session["basket"] = "5d3c9c3e-7a0b-4f7c-8f5b-6f3c2a1b0d9e"
    session.save()
    assert look(browser, photo).status_code == 200
