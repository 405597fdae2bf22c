"""The copy to keep: the customer's and the bench's are the same file, and looking makes it at most once."""

import logging
import re

import pytest
from django.urls import reverse

from jobs.actions import papering
from jobs.actions.quote import draft_quote, renew
from jobs.models import Job, Paper, Quote
from jobs.papers import CannotSet
from jobs.words import Stage
from tests.cast import Cast
from tests.jobs.papers.reading import text
from tests.once import made_once
from tests.portal.conftest import Visitor
from tests.portal.customer.pages import to, words_of


def body_of(response: object) -> bytes:
    return b"".join(response.streaming_content)  # type: ignore[attr-defined]


@pytest.fixture
def job(cast: Cast) -> Job:
    return made_once(cast.job_at, Stage.AGREED)


def test_the_customer_gets_the_kept_copy_to_look_at(job: Job, as_customer: Visitor) -> None:
    answer = as_customer(job).get(to("my_quote_pdf", job))
    assert answer["Content-Type"] == "application/pdf"
    name = f"Tidewater Camera Works {job.shown_ref} quote 1.pdf"
    assert answer["Content-Disposition"] == f'inline; filename="{name}"'
    assert answer["Cache-Control"] == "private, no-store"
    assert body_of(answer) == bytes(Paper.objects.get(kind="answer").body)


def test_the_bench_gets_the_same_bytes(job: Job, cast: Cast, as_customer: Visitor, as_staff: Visitor) -> None:
    theirs = body_of(as_customer(job).get(to("my_quote_pdf", job)))
    ours = body_of(as_staff(cast.technician_user).get(reverse("bench_answer_pdf", args=[job.ref])))
    assert theirs == ours


def test_looking_again_makes_no_second_one_and_moves_nothing(job: Job, as_customer: Visitor) -> None:
    stage, holder = job.stage, job.holder
    for _ in range(3):
        as_customer(job).get(to("my_quote_pdf", job))
    job.refresh_from_db()
    assert job.entries.filter(kind="paper").count() == 1
    assert (job.stage, job.holder) == (stage, holder)


def test_an_offer_can_be_kept_before_it_is_answered(cast: Cast, as_customer: Visitor) -> None:
    job = cast.job_at(Stage.QUOTED)
    made = text(body_of(as_customer(job).get(to("my_quote_pdf", job))))
    assert "An offer, not yet answered" in made
    assert "You pay when" in made
    assert not Paper.objects.exists()


def test_an_earlier_answer_is_found_by_its_number(cast: Cast, job: Job, as_customer: Visitor) -> None:
    supplement = cast.send_quote(job)
    assert supplement.n == 2
    client = as_customer(job)
    assert "What you agreed" in text(body_of(client.get(to("my_quote_pdf", job) + "?n=1")))
    assert "An offer" in text(body_of(client.get(to("my_quote_pdf", job) + "?n=2")))
    assert "An offer" in text(body_of(client.get(to("my_quote_pdf", job))))


@pytest.mark.parametrize("n", ["9", "x", "0", "99999999", "-1", "²"])
def test_a_number_that_no_quote_has_is_not_found(job: Job, as_customer: Visitor, n: str) -> None:
    assert as_customer(job).get(to("my_quote_pdf", job) + f"?n={n}").status_code == 404


def test_a_draft_is_nobodys_to_see(cast: Cast, as_customer: Visitor, as_staff: Visitor) -> None:
    job = cast.job_at(Stage.EXAMINING)
    draft_quote(job)
    assert as_customer(job).get(to("my_quote_pdf", job)).status_code == 404
    assert as_customer(job).get(to("my_quote_pdf", job) + "?n=1").status_code == 404


def test_a_quote_that_lapsed_or_was_replaced_has_no_copy(cast: Cast, as_customer: Visitor) -> None:
    job = cast.job_at(Stage.QUOTED)
    Quote.objects.update(state=Quote.State.LAPSED)
    assert as_customer(job).get(to("my_quote_pdf", job)).status_code == 404
    renew(job, cast.technician)
    assert as_customer(job).get(to("my_quote_pdf", job)).status_code == 200


def test_a_copy_that_cannot_be_set_is_said_on_the_page(
    job: Job, as_customer: Visitor, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def fail(*_args: object) -> bytes:
        raise CannotSet("no room")

    monkeypatch.setattr(papering, "pdf_of_answer", fail)
    with caplog.at_level(logging.ERROR):
        page = as_customer(job).get(to("my_quote_pdf", job), follow=True)
    assert "The copy could not be made just now." in words_of(page.text)
    assert not Paper.objects.exists()


def test_the_quotes_page_leads_to_the_copy_and_to_the_check(job: Job, as_customer: Visitor) -> None:
    page = as_customer(job).get(to("my_quote", job)).content.decode()
    assert f'href="{to("my_quote_pdf", job)}?n=1"' in page
    assert len(re.findall(r'href="/check/"', page)) == 2


def test_the_jobs_page_at_the_bench_leads_to_the_copy(job: Job, cast: Cast, as_staff: Visitor) -> None:
    page = as_staff(cast.technician_user).get(reverse("bench_job", args=[job.ref])).content.decode()
    assert reverse("bench_answer_pdf", args=[job.ref]) + "?n=1" in page
