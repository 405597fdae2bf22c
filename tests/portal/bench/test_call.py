"""An answer by telephone."""

from typing import Any

import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from jobs.actions.quote import lapse
from jobs.models import Decision, Job, Quote
from tests.cast import Cast


@pytest.fixture
def quoted(cast: Cast) -> Job:
    return cast.job_at("quoted")


def ring(browser: Client, job: Job, *answers: str, **said: Any) -> HttpResponse:
    quote = job.quotes.order_by("n").first()
    lines = [line for line in quote.lines.all() if not line.is_fixed]
    chosen = {f"line{line.pk}": answer for line, answer in zip(lines, answers, strict=True)}
    told = {"shown_hash": quote.shown_hash, "name": "Orla Fennimore", **chosen, **said}
    return browser.post(reverse("bench_call", args=[job.ref]), told)


def test_the_page_reads_the_quote_line_by_line_with_its_prices(jory: Client, quoted: Job) -> None:
    page = jory.get(reverse("bench_call", args=[quoted.ref])).content.decode()
    for words in ("Free the winding gears", "£85", "Insured post home", "£12", "01632 960142"):
        assert words in page


def test_an_answer_is_kept_with_who_said_it_and_who_noted_it(jory: Client, quoted: Job) -> None:
    assert ring(jory, quoted, "yes", "no").status_code == 303
    decision = Decision.objects.get()
    assert (decision.way, decision.name, decision.noted_by) == ("telephone", "Orla Fennimore", "Jory Pell")
    assert decision.gross == 9700
    assert (
        decision.sentence == "Orla Fennimore said yes by telephone to: Free the winding gears. Together £97."
    )


def test_no_to_everything_ends_the_job(jory: Client, quoted: Job) -> None:
    ring(jory, quoted, "no", "no")
    quoted.refresh_from_db()
    assert quoted.stage == "withdrawn"


def test_noted_twice_it_is_one_answer(jory: Client, quoted: Job) -> None:
    assert [ring(jory, quoted, "yes", "no").status_code for _ in range(2)] == [303, 303]
    assert Decision.objects.count() == 1


@pytest.mark.parametrize("said", [{"name": ""}, {"shown_hash": ""}])
def test_without_a_name_or_the_quote_that_was_read_it_is_refused(
    jory: Client, quoted: Job, said: dict[str, str]
) -> None:
    assert ring(jory, quoted, "yes", "no", **said).status_code == 422
    assert not Decision.objects.exists()


def test_a_line_without_an_answer_is_refused(jory: Client, quoted: Job) -> None:
    assert ring(jory, quoted, "yes", "").status_code == 422


def test_a_quote_that_was_not_the_one_read_out_is_refused(jory: Client, quoted: Job) -> None:
    answer = ring(jory, quoted, "yes", "no", shown_hash="0" * 64)
    assert answer.status_code == 422
    assert "Another quote stands now." in answer.content.decode()


def test_a_lapsed_quote_has_to_be_sent_again_first(jory: Client, quoted: Job) -> None:
    Quote.objects.update(valid_until="2020-01-01")
    lapse(Quote.objects.get())
    answer = ring(jory, quoted, "yes", "no")
    assert answer.status_code == 422
    assert "This quote has lapsed." in answer.content.decode()


def test_without_a_quote_there_is_nothing_to_note(jory: Client, examined: Job) -> None:
    answer = jory.get(reverse("bench_call", args=[examined.ref]))
    assert answer.url == reverse("bench_job", args=[examined.ref])
