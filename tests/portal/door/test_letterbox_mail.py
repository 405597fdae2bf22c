"""Answering a letter of the letterbox: what is pressed here is a message there."""

from pathlib import Path
from typing import Any

import pytest
from django.test import Client

from jobs.models import Job, Question
from notifications import message, relay
from notifications.models import Incoming, Letter
from notifications.replies import taking
from portal.letterbox import keep
from tests.cast import Cast

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(settings: Any, tmp_path: Path, cast: Cast) -> Job:
    settings.DEMO = True
    settings.LETTERBOX_DIR = tmp_path / "letterbox"
    return cast.book()


@pytest.fixture
def path(job: Job, settings: Any) -> str:
    """The page of the letter about the booking, in the letterbox."""
    relay.run()
    written = Letter.objects.get(job=job, kind="booked")
    return f"/letterbox/{keep(settings.LETTERBOX_DIR, message.build(written, 'bench@example.org'))}/"


def take_what_came() -> Incoming:
    """As a worker does that was woken."""
    taking.take(Incoming.objects.get().pk)
    return Incoming.objects.get()


def test_an_answer_becomes_a_question_of_the_job(job: Job, path: str, nobody: Client) -> None:
    sent = nobody.post(f"{path}answer/", {"text": "Shall I send the case too?"})
    assert (sent.status_code, sent["Location"]) == (303, f"{path}#main")
    assert take_what_came().state == Incoming.State.TAKEN
    assert Question.objects.get(job=job).text == "Shall I send the case too?"


def test_a_worker_is_woken_for_it(path: str, nobody: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    told: list[Incoming] = []
    monkeypatch.setattr("notifications.replies.keeping.tell", told.append)
    nobody.post(f"{path}answer/", {"text": "Shall I send the case too?"})
    assert told == [Incoming.objects.get()]


def test_afterwards_the_page_says_what_happens_now_and_leads_nowhere_private(
    path: str, nobody: Client
) -> None:
    before = nobody.get(path).text
    page = nobody.post(f"{path}answer/", {"text": "Shall I send the case too?"}, follow=True).text
    assert "Your answer is on its way to the bench." in page
    assert page.count("href=") == before.count("href=")


@pytest.mark.parametrize(
    ("text", "sentence"),
    [("", "Nothing is written here yet."), ("  ", "Nothing is written here yet."), ("x" * 4001, "Too long")],
)
def test_what_is_empty_or_too_long_gets_a_sentence_and_is_kept(
    path: str, nobody: Client, text: str, sentence: str
) -> None:
    answer = nobody.post(f"{path}answer/", {"text": text})
    assert answer.status_code == 422
    assert sentence in answer.text
    assert f">\r\n{text}</textarea>" in answer.text.replace("\n", "\r\n").replace("\r\r", "\r")
    assert "frame-src 'self'" in answer["Content-Security-Policy"]  # the letter is still shown above it
    assert not Incoming.objects.exists()


def test_what_is_written_is_never_markup(job: Job, path: str, nobody: Client) -> None:
    answer = nobody.post(f"{path}answer/", {"text": "<script>alert(1)</script>" * 200})
    assert answer.status_code == 422
    assert "<script>alert" not in answer.text


def test_a_letter_to_nobody_has_no_answer(job: Job, nobody: Client, settings: Any) -> None:
    name = keep(settings.LETTERBOX_DIR, b"Subject: hello\r\n\r\nDear Orla\r\n")
    assert "Answer this letter" not in nobody.get(f"/letterbox/{name}/").text
    assert nobody.post(f"/letterbox/{name}/answer/", {"text": "Hello"}).status_code == 404
    assert not Incoming.objects.exists()


def test_a_letter_that_is_not_there_cannot_be_answered(job: Job, nobody: Client) -> None:
    assert nobody.post("/letterbox/nothing.eml/answer/", {"text": "Hello"}).status_code == 404


def test_a_real_workshop_takes_no_answers_here(path: str, nobody: Client, settings: Any) -> None:
    settings.DEMO = settings.DEBUG = False
    assert nobody.post(f"{path}answer/", {"text": "Hello"}).status_code == 404
    assert not Incoming.objects.exists()


def test_another_site_cannot_answer_for_who_looks_at_the_demo(path: str) -> None:
    strict = Client(enforce_csrf_checks=True)
    assert strict.post(f"{path}answer/", {"text": "Hello"}).status_code == 403
    assert not Incoming.objects.exists()
