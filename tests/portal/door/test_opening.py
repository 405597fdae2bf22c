from datetime import timedelta

import pytest
import time_machine
from django.conf import settings
from django.contrib.sessions.models import Session
from django.test import Client
from django.utils import timezone

from jobs.actions.linking import issue_link, revoke_links
from jobs.models import Job, Kind, Opening, PrivateLink
from portal.access import OPENED
from tests.cast import Cast

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(cast: Cast) -> Job:
    return cast.book()


def test_a_live_link_opens_the_job_and_leaves_the_address_bar(job: Job, nobody: Client) -> None:
    answer = nobody.get(f"/open/{issue_link(job)}")
    assert answer.status_code == 303
    assert answer["Location"] == f"/my/{job.shown_ref}/"
    assert answer["Referrer-Policy"] == "no-referrer"
    assert answer["X-Robots-Tag"] == "noindex, nofollow"
    assert nobody.get(answer["Location"]).status_code == 200


def test_opening_takes_a_new_session_key(job: Job, nobody: Client) -> None:
    planted = nobody.session
    planted["by"] = "somebody else"
    planted.save()
    nobody.get(f"/open/{issue_link(job)}")
    assert nobody.session.session_key != planted.session_key


def test_one_browser_can_open_two_jobs(cast: Cast, job: Job, nobody: Client) -> None:
    other = cast.another_book()
    nobody.get(f"/open/{issue_link(job)}")
    nobody.get(f"/open/{issue_link(other)}")
    assert set(nobody.session[OPENED]) == {job.ref, other.ref}


def with_old_cookie(key: str) -> Client:
    late = Client()
    late.cookies[settings.SESSION_COOKIE_NAME] = key
    return late


def test_a_photograph_that_comes_back_late_does_not_shut_the_browser_out(
    cast: Cast, job: Job, nobody: Client
) -> None:
    """What the first page asked for is answered after the second link was opened: its answer must not take the new cookie away."""
    nobody.get(f"/open/{issue_link(job)}")
    late = with_old_cookie(str(nobody.session.session_key))
    nobody.get(f"/open/{issue_link(cast.another_book())}")
    answer = late.get(f"/my/{job.shown_ref}/")
    assert answer.status_code == 200
    assert settings.SESSION_COOKIE_NAME not in answer.cookies


def test_the_old_key_opens_nothing_new_and_soon_nothing_at_all(cast: Cast, job: Job, nobody: Client) -> None:
    other = cast.another_book()
    nobody.get(f"/open/{issue_link(job)}")
    old = str(nobody.session.session_key)
    nobody.get(f"/open/{issue_link(other)}")
    assert with_old_cookie(old).get(f"/my/{other.shown_ref}/").status_code == 403
    with time_machine.travel(timezone.now() + timedelta(seconds=61)):
        assert with_old_cookie(old).get(f"/my/{job.shown_ref}/").status_code == 403
        assert nobody.get(f"/my/{job.shown_ref}/").status_code == 200


def test_a_key_that_nobody_gave_out_leaves_no_session_behind(job: Job) -> None:
    visitor = with_old_cookie("made-up-by-somebody-else-0123456")
    visitor.get(f"/open/{issue_link(job)}")
    assert Session.objects.count() == 1


def test_a_link_opens_no_other_job(cast: Cast, job: Job, nobody: Client) -> None:
    other = cast.another_book()
    nobody.get(f"/open/{issue_link(job)}")
    assert nobody.get(f"/my/{other.shown_ref}/").status_code == 403


def test_head_does_nothing(job: Job, nobody: Client) -> None:
    answer = nobody.head(f"/open/{issue_link(job)}")
    assert answer.status_code == 200
    assert not Opening.objects.exists()
    assert OPENED not in nobody.session


def test_the_same_device_is_noted_once_and_another_one_beside_it(job: Job) -> None:
    key, phone, desk = issue_link(job), Client(), Client()
    phone.get(f"/open/{key}")
    phone.get(f"/open/{key}")
    desk.get(f"/open/{key}")
    assert Opening.objects.count() == 2


@pytest.mark.parametrize("made_up", ["x", "x" * 36, "<script>", ""])
def test_a_device_cannot_choose_its_own_name(job: Job, nobody: Client, made_up: str) -> None:
    nobody.cookies["device"] = made_up
    nobody.get(f"/open/{issue_link(job)}")
    assert Opening.objects.get().device != made_up


def dead_key(job: Job, how: str) -> str:
    key = issue_link(job)
    if how == "expired":
        PrivateLink.objects.update(expires_at=timezone.now() - timedelta(seconds=1))
    if how == "revoked":
        revoke_links(job)
    return key if how != "unknown" else "j_" + "A" * 43


@pytest.mark.parametrize("how", ["expired", "revoked", "unknown"])
def test_a_dead_link_offers_a_new_one_and_says_nothing_about_anybody(
    job: Job, nobody: Client, how: str
) -> None:
    answer = nobody.get(f"/open/{dead_key(job, how)}")
    page = answer.content.decode()
    assert answer.status_code == 410
    assert answer["Referrer-Policy"] == "no-referrer"
    assert not any(word in page for word in ("Orla", "orla", "Skerry", job.shown_ref))


@pytest.mark.parametrize("how", ["expired", "revoked", "unknown"])
def test_every_dead_link_looks_the_same(job: Job, how: str) -> None:
    key, strange = dead_key(job, how), "j_" + "B" * 43
    pages = [Client().get(f"/open/{each}").content.decode().replace(each, "") for each in (key, strange)]
    # The hidden CSRF token differs on every page.
    assert len({len(page) for page in pages}) == 1


def test_a_dead_link_is_replaced_by_letter(job: Job, nobody: Client) -> None:
    answer = nobody.post("/new-link/", {"key": dead_key(job, "expired")})
    assert answer.status_code == 303
    assert job.entries.filter(kind=Kind.LINK_ASKED).count() == 1


def test_a_key_that_never_was_gets_the_same_answer(job: Job, nobody: Client) -> None:
    known = Client().post("/new-link/", {"key": dead_key(job, "expired")})
    unknown = nobody.post("/new-link/", {"key": "j_nothing"})
    assert (known.status_code, known["Location"]) == (unknown.status_code, unknown["Location"])


def test_no_more_than_a_few_letters_an_hour_for_one_job(job: Job) -> None:
    key = dead_key(job, "revoked")
    for _ in range(6):
        Client().post("/new-link/", {"key": key})
    assert job.entries.filter(kind=Kind.LINK_ASKED).count() == 3


def test_a_device_can_be_made_to_forget(job: Job, nobody: Client) -> None:
    nobody.get(f"/open/{issue_link(job)}")
    assert nobody.post("/forget/").status_code == 303
    assert nobody.get(f"/my/{job.shown_ref}/").status_code == 403
    assert nobody.cookies["device"].value == ""


def test_forgetting_keeps_who_works_here_logged_in(cast: Cast, nobody: Client) -> None:
    nobody.force_login(cast.technician_user)
    nobody.post("/forget/")
    assert nobody.get("/bench/").status_code == 200


def test_a_key_is_never_in_the_log(job: Job, nobody: Client, caplog: pytest.LogCaptureFixture) -> None:
    key = issue_link(job)
    with caplog.at_level("DEBUG"):
        nobody.get(f"/open/{key}")
        revoke_links(job)
        nobody.get(f"/open/{key}")
    from portal.logs import scrub

    assert key not in scrub(caplog.text)
