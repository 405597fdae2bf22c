"""Nobody but staff gets to the bench, at any of its addresses."""

import uuid

import pytest
from django.test import Client
from django.urls import reverse

from portal.bench.urls import urlpatterns
from tests.cast import Cast
from tests.once import made_once
from tests.portal.conftest import Visitor

NAMES = [pattern.name for pattern in urlpatterns]


def address(name: str, ref: str) -> str:
    wanted = next(pattern for pattern in urlpatterns if pattern.name == name)
    some = {"ref": ref, "pk": 1, "uid": uuid.uuid4()}
    return reverse(name, kwargs={key: some[key] for key in wanted.pattern.converters})


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("method", ["get", "post"])
def test_a_stranger_is_sent_to_the_log_in(cast: Cast, nobody: Client, name: str, method: str) -> None:
    answer = getattr(nobody, method)(address(name, cast.book().ref))
    assert answer.status_code in (302, 405)
    assert answer.status_code == 405 or answer.url.startswith("/staff/")


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("method", ["get", "post"])
def test_a_customer_is_sent_to_the_log_in_even_for_their_own_job(
    cast: Cast, as_customer: Visitor, name: str, method: str
) -> None:
    job = cast.book()
    answer = getattr(as_customer(job), method)(address(name, job.ref))
    assert answer.status_code in (302, 405)
    job.refresh_from_db()
    assert job.stage == "expected"


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("who", ["technician_user", "owner_user"])
def test_staff_may_do_all_of_it(cast: Cast, as_staff: Visitor, name: str, who: str) -> None:
    answer = as_staff(getattr(cast, who)).get(address(name, made_once(cast.job_at, "quoted").ref))
    assert answer.status_code in (200, 302, 303, 404, 405)


@pytest.mark.parametrize("name", NAMES)
def test_another_site_cannot_make_a_browser_act(cast: Cast, as_staff: Visitor, name: str) -> None:
    browser = as_staff(cast.technician_user, enforce_csrf_checks=True)
    assert browser.post(address(name, cast.book().ref)).status_code in (403, 405)


def test_a_request_from_a_script_is_told_to_go_to_the_log_in(cast: Cast, nobody: Client) -> None:
    answer = nobody.get(reverse("bench"), headers={"HX-Request": "true"})
    assert answer.headers["HX-Redirect"] == reverse("login")


def test_a_reference_that_cannot_be_one_is_not_found(jory: Client) -> None:
    assert jory.get("/bench/4TM7QK1/").status_code == 404


def test_a_reference_may_be_typed_as_people_write_it(cast: Cast, jory: Client) -> None:
    job = cast.book()
    assert jory.get(f"/bench/{job.shown_ref.lower()}/").status_code == 200
