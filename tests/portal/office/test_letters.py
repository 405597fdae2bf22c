from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from jobs.models import Job
from jobs.words import Stage
from notifications import relay
from notifications.models import Letter
from tests.cast import Cast
from tests.notifications.scenes import gathered, told_of
from tests.once import made_once
from tests.portal.conftest import Visitor

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner(cast: Cast, as_staff: Visitor) -> Client:
    return as_staff(cast.owner_user)


@pytest.fixture
def job(cast: Cast) -> Job:
    return made_once(told_of, cast, Stage.QUOTED)


def letter(job: Job, kind: str = "quote_sent", **changes: Any) -> Letter:
    found = Letter.objects.get(job=job, kind=kind)
    Letter.objects.filter(pk=found.pk).update(**changes)
    found.refresh_from_db()
    return found


def page(client: Client, path: str) -> str:
    answer = client.get(path)
    assert answer.status_code == 200
    return answer.content.decode()


def test_the_list_names_each_letter_and_its_fate(owner: Client, job: Job) -> None:
    letter(job, state="failed")
    listed = page(owner, "/office/letters/")
    assert "what we found, and our quote" in listed
    assert "letter failed" in listed


def test_a_letter_that_waits_for_the_day_says_when_it_goes(owner: Client, job: Job) -> None:
    morning = timezone.localtime() + timedelta(days=2)
    Letter.objects.update(state="sent", sent_at=timezone.now())
    letter(job, state="waiting", sent_at=None, next_attempt_at=morning)
    assert f"letter goes {morning.day} {morning:%b}" in page(owner, "/office/letters/")
    letter(job, attempts=1)
    listed = page(owner, "/office/letters/")
    assert "letter goes" not in listed
    assert "letter on its way" in listed


def test_what_did_not_get_through_has_a_list_of_its_own(owner: Client, job: Job) -> None:
    Letter.objects.update(state="sent")
    letter(job, state="ambiguous")
    listed = page(owner, "/office/letters/?show=trouble")
    assert "letter perhaps lost" in listed
    assert "it arrived safely" not in listed


def test_older_letters_follow_by_key(owner: Client, job: Job) -> None:
    last = Letter.objects.order_by("-pk")[0]
    listed = page(owner, f"/office/letters/?before={last.pk}")
    assert f"/office/letters/{last.pk}/" not in listed
    assert page(owner, "/office/letters/?before=x")


def test_the_preview_opens_nothing(owner: Client, job: Job) -> None:
    """The office reads the customer's words and cannot come in as the customer."""
    shown = letter(job)
    for path in (f"/office/letters/{shown.pk}/", f"/office/letters/{shown.pk}/html/"):
        read = page(owner, path)
        assert "/open/j_" not in read
        assert f"key-{shown.uid.hex}" not in read


def test_the_frame_is_shut_in(owner: Client, job: Job) -> None:
    shown = letter(job, html="<p>Dear Orla</p><script>alert(1)</script>")
    frame = owner.get(f"/office/letters/{shown.pk}/html/")
    assert "sandbox" in frame["Content-Security-Policy"]
    assert "allow-scripts" not in frame["Content-Security-Policy"]
    assert "script-src" not in frame["Content-Security-Policy"]


def test_a_failed_letter_is_sent_again_by_one_press(owner: Client, job: Job) -> None:
    failed = letter(job, state="failed", attempts=5, last_error="550 no such mailbox")
    answer = owner.post(f"/office/letters/{failed.pk}/again/")
    assert answer.status_code == 303
    failed.refresh_from_db()
    assert (failed.state, failed.attempts) == ("waiting", 0)


def test_a_letter_that_is_being_sent_is_left_alone(owner: Client, job: Job) -> None:
    busy = letter(job, state="sending")
    told = owner.post(f"/office/letters/{busy.pk}/again/", follow=True).content.decode()
    assert "is being sent at this moment" in told


def test_what_the_mail_server_said_is_shown_as_words(owner: Client, job: Job) -> None:
    failed = letter(job, state="failed", last_error="550 <script>alert(1)</script>")
    read = page(owner, f"/office/letters/{failed.pk}/")
    assert "550 &lt;script&gt;" in read


def test_a_letter_that_was_left_out_says_why(owner: Client, job: Job) -> None:
    left = letter(job, state="skipped", why="Nobody to write to.", text="", html="")
    read = page(owner, f"/office/letters/{left.pk}/")
    assert "Nobody to write to." in read
    assert owner.get(f"/office/letters/{left.pk}/html/").status_code == 404


def test_the_list_takes_as_many_queries_for_one_letter_as_for_many(
    owner: Client, cast: Cast, job: Job, django_assert_num_queries: Any
) -> None:
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    with CaptureQueriesContext(connection) as few:
        page(owner, "/office/letters/")
    cast.job_at(Stage.READY)
    relay.run()
    with django_assert_num_queries(len(few)):
        page(owner, "/office/letters/")


def test_a_letter_that_did_not_get_through_says_what_to_do(owner: Client, job: Job) -> None:
    failed = letter(job, state="failed", last_error="550 5.1.1 no such user", trouble="permanent")
    assert "correct it, and send the letter again" in page(owner, f"/office/letters/{failed.pk}/")


def test_a_letter_that_went_says_nothing_of_the_kind(owner: Client, job: Job) -> None:
    assert "What to do" not in page(owner, f"/office/letters/{letter(job, state='sent').pk}/")


def test_a_letter_that_went_inside_another_leads_there_and_back(owner: Client, cast: Cast) -> None:
    carrier = gathered(cast)
    carried = carrier.carries.first()
    assert carried
    there = page(owner, f"/office/letters/{carried.pk}/")
    assert f'<a href="/office/letters/{carrier.pk}/">' in there
    assert "in another letter" in page(owner, "/office/letters/")
    back = page(owner, f"/office/letters/{carrier.pk}/")
    assert f'<a href="/office/letters/{carried.pk}/">' in back


def test_the_frame_shows_every_picture_of_a_gathered_letter(owner: Client, cast: Cast) -> None:
    carrier = gathered(cast)
    shown = page(owner, f"/office/letters/{carrier.pk}/html/")
    assert shown.count("data:image/jpeg;base64,") == 1
    assert shown.count("data:image/png;base64,") == 1
    assert "cid:" not in shown
