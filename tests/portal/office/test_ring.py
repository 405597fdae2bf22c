"""Ringing somebody: what to say, and noting what was said."""

import re
from datetime import timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from jobs.actions.moving import changing
from jobs.models import Enquiry, Job, Kind
from jobs.words import Stage
from notifications.chasing import keeping
from notifications.models import Owing, Pause
from tests.cast import Cast
from tests.portal.conftest import Visitor

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner(cast: Cast, as_staff: Visitor) -> Client:
    return as_staff(cast.owner_user)


def refreshed(job: Job) -> Job:
    """With its rows as the chasing keeps them."""
    with changing(job) as fresh:
        keeping.refresh(fresh)
    return job


def read(client: Client, job: Job, query: str = "") -> str:
    answer = client.get(f"/office/{job.shown_ref}/ring/{query}")
    assert answer.status_code == 200
    page = answer.content.decode().partition("<main")[2]
    return re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", page))


def enquire(job: Job) -> Enquiry:
    return Enquiry.objects.create(
        job=job, text="Which film did you use?", asked_at=timezone.now(), asked_by="Jory", once="once"
    )


def test_the_page_says_whom_to_ring_and_how_to_begin(cast: Cast, owner: Client) -> None:
    job = refreshed(cast.job_at(Stage.QUOTED))
    page = read(owner, job)
    assert "Ring Orla Fennimore" in page
    assert "Hello, this is Hester" in page
    assert "about your Corvane Skerry" in page
    assert "What we found: A screw had dropped among the gears. We saw that ourselves." in page
    assert "is for £97 to £139" in page
    assert 'href="tel:01632960142"' in owner.get(f"/office/{job.shown_ref}/ring/").content.decode()


def test_a_call_about_our_question_asks_it(cast: Cast, owner: Client) -> None:
    job = cast.job_at(Stage.QUOTED)
    asked = enquire(job)
    refreshed(job)
    assert "Which film did you use?" in read(owner, job, f"?thing=enquiry-{asked.pk}")
    assert "Which film did you use?" not in read(owner, job, f"?thing=quote-{job.quotes.get().pk}")


def test_a_thing_of_another_job_is_not_spoken_of(cast: Cast, owner: Client) -> None:
    job, other = cast.job_at(Stage.QUOTED), cast.job_at(Stage.QUOTED)
    asked = enquire(other)
    refreshed(job)
    refreshed(other)
    assert "Which film" not in read(owner, job, f"?thing=enquiry-{asked.pk}")


def test_with_nothing_owed_there_is_nothing_to_say(cast: Cast, owner: Client) -> None:
    page = read(owner, cast.book())
    assert "Nothing is owed here any more." in page
    assert "Hello" not in page


def test_what_was_said_is_noted_and_the_list_comes_back(cast: Cast, owner: Client) -> None:
    job = refreshed(cast.job_at(Stage.QUOTED))
    at = "order=since"
    assert f'name="at" value="{at}"' in owner.get(f"/office/{job.shown_ref}/ring/?at={at}").content.decode()
    told = {"text": "Will decide on Sunday.", "rest": "0", "back": "owed", "at": at}
    answer = owner.post(f"/office/{job.shown_ref}/ring/", told)
    assert (answer.status_code, answer["Location"]) == (303, "/office/owed/?order=since")
    assert job.entries.get(kind=Kind.CALLED).data["text"] == "Will decide on Sunday."
    assert not Pause.objects.exists()
    assert "Will decide on Sunday." in read(owner, job)


def test_after_a_call_the_nudges_can_rest(cast: Cast, owner: Client) -> None:
    job = refreshed(cast.job_at(Stage.QUOTED))
    owner.post(f"/office/{job.shown_ref}/ring/", {"text": "Next week.", "rest": "7"})
    assert Pause.objects.get(job=job).until == timezone.localdate() + timedelta(days=7)
    assert Owing.objects.get().state == "paused"


@pytest.mark.parametrize(
    "told", [{"text": " ", "rest": "3"}, {"text": "Said.", "rest": "9"}, {"text": "Said."}]
)
def test_a_note_that_cannot_be_is_sent_back_with_what_was_typed(
    cast: Cast, owner: Client, told: dict[str, str]
) -> None:
    job = refreshed(cast.job_at(Stage.QUOTED))
    answer = owner.post(f"/office/{job.shown_ref}/ring/", told)
    assert answer.status_code == 422
    assert told["text"].strip() in answer.content.decode()
    assert not job.entries.filter(kind=Kind.CALLED).exists()
    assert not Pause.objects.exists()


def test_what_people_typed_is_not_markup(cast: Cast, owner: Client) -> None:
    job = cast.job_at(Stage.QUOTED, name="<b>Orla</b>")
    refreshed(job)
    owner.post(f"/office/{job.shown_ref}/ring/", {"text": "<i>said</i>", "rest": "0"})
    page = owner.get(f"/office/{job.shown_ref}/ring/").content.decode()
    assert "<b>Orla" not in page
    assert "<i>said" not in page


def test_many_findings_cost_no_more_questions_than_one(cast: Cast, owner: Client) -> None:
    job = refreshed(cast.job_at(Stage.QUOTED))
    asked = []
    for n in range(3):
        with CaptureQueriesContext(connection) as caught:
            read(owner, job)
        asked.append(len(caught))
        cast.post_finding(job, f"Another {n}")
    assert asked[1] == asked[2]
