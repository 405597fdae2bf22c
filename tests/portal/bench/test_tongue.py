"""Whoever writes to a customer is told which language that customer reads."""

import pytest
from django.test import Client
from django.urls import reverse

from jobs.actions.asking import ask
from jobs.actor import Actor
from jobs.models import Customer, Job
from portal import languages
from tests.cast import Cast
from tests.portal.bench.lines import add, at, page_of

AS_WRITTEN = "What you write here goes out as you write it."
WRITTEN_ON = {
    "bench_finding_new": "examining",
    "bench_ask_them": "examining",
    "bench_story": "examining",
    "bench_promise": "examining",
    "bench_withdraw": "examining",
    "bench_job": "examining",
    "bench_arrival": "expected",
    "bench_part": "in_work",
    "bench_proving": "proving",
}


def page(browser: Client, name: str, *args: object) -> str:
    """Its text with plain spaces."""
    return " ".join(browser.get(reverse(name, args=args)).content.decode().split())


def read_german() -> None:
    Customer.objects.update(language="de")


@pytest.mark.parametrize(("name", "stage"), WRITTEN_ON.items())
def test_a_page_on_which_words_are_written_says_who_reads_german(
    jory: Client, cast: Cast, name: str, stage: str
) -> None:
    job = cast.job_at(stage)
    read_german()
    assert f"Orla Fennimore reads German. {AS_WRITTEN}" in page(jory, name, job.ref)


@pytest.mark.parametrize("name", ["bench_finding_new", "bench_ask_them", "bench_story", "bench_job"])
def test_nothing_is_said_where_it_is_the_workshops_language(jory: Client, examined: Job, name: str) -> None:
    said = page(jory, name, examined.ref)
    assert [words for words in ("reads German", "reads English", AS_WRITTEN) if words in said] == []


def test_an_answer_to_a_question_is_written_under_the_same_line(jory: Client, examined: Job) -> None:
    read_german()
    question = ask(examined, "Darf ich sie weiter benutzen?", Actor.customer(examined.customer), "1")
    assert AS_WRITTEN in page(jory, "bench_answer", examined.ref, question.pk)


def test_what_leaves_says_it_once_it_may_leave(jory: Client, cast: Cast) -> None:
    job = cast.job_at("ready")
    read_german()
    assert AS_WRITTEN not in page(jory, "bench_send_back", job.ref)
    cast.pay(job)
    assert AS_WRITTEN in page(jory, "bench_send_back", job.ref)


def test_the_quotes_form_and_what_they_will_read_say_it(jory: Client, examined: Job) -> None:
    read_german()
    add(jory, examined)
    assert AS_WRITTEN in page(jory, "bench_quote", examined.ref)
    shown = page_of(jory.post(at(examined), {"do": "preview", "valid_until": "2099-10-30"}))
    assert shown.count("Orla Fennimore reads German.") == 2


def test_the_preview_of_a_finding_says_it_again(jory: Client, examined: Job) -> None:
    read_german()
    typed = {"do": "preview", "title": "A screw was loose", "text": "It lay inside.", "certainty": "seen"}
    typed |= {"bearing": "explains", "effect": "stops", "mechanism": "transport"}
    shown = page_of(jory.post(reverse("bench_finding_new", args=[examined.ref]), typed))
    assert shown.count("Orla Fennimore reads German.") == 2


def test_the_jobs_head_says_it_beside_the_name(jory: Client, examined: Job) -> None:
    read_german()
    assert '<span class="tongue">reads German</span>' in page(jory, "bench_job", examined.ref)


def test_what_counts_is_the_workshops_language_and_not_the_pages(jory: Client, examined: Job) -> None:
    languages.remember("de", seconds=600)
    try:
        assert "Orla Fennimore reads English." in page(jory, "bench_ask_them", examined.ref)
        read_german()
        assert "Orla Fennimore reads" not in page(jory, "bench_ask_them", examined.ref)
    finally:
        languages.remember("en-gb", seconds=600)
