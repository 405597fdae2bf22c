"""An answer of the demo: a real message that goes the road of every other, read by the real child process."""

from datetime import timedelta
from email import message_from_bytes, policy
from email.message import EmailMessage

import pytest
from django.utils import timezone

from jobs.actions import enquiring
from jobs.demo.clock import standing_at
from jobs.models import Question
from notifications import demo_answers, message, relay
from notifications.models import Incoming, Letter
from notifications.replies import taking
from tests.notifications.scenes import letter_of, run

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(cast):
    job = cast.book()
    run()
    return job


@pytest.fixture
def came(job) -> EmailMessage:
    """The letter about the booking, as it lies in the letterbox."""
    return parsed(message.build(letter_of(job, "booked"), "bench@example.org"))


def parsed(raw: bytes) -> EmailMessage:
    mail = message_from_bytes(raw, policy=policy.default)
    assert isinstance(mail, EmailMessage)
    return mail


def text_of(raw: bytes) -> str:
    return str(parsed(raw).get_content())


def take() -> Incoming:
    taking.take(Incoming.objects.get().pk)
    return Incoming.objects.get()


def test_it_goes_back_in_the_thread_of_the_letter(came):
    mail = parsed(demo_answers.answer(came, "Will it last?"))
    assert (mail["From"], mail["To"]) == (came["To"], came["Reply-To"] or came["From"])
    assert mail["Subject"] == f"Re: {came['Subject']}"
    assert mail["In-Reply-To"] == came["Message-ID"]
    assert mail["References"].split()[-1] == came["Message-ID"]
    assert abs(timezone.now() - mail["Date"].datetime) < timedelta(minutes=1)


def test_an_answer_to_an_answer_keeps_its_subject(came):
    came.replace_header("Subject", "Re: Your Corvane Skerry")
    assert parsed(demo_answers.answer(came, "And then?"))["Subject"] == "Re: Your Corvane Skerry"


def test_two_answers_of_one_moment_are_two_messages(came):
    first, second = (parsed(demo_answers.answer(came, "Will it last?")) for _twice in range(2))
    assert first["Message-ID"] != second["Message-ID"]


def test_the_letter_stands_quoted_below_and_is_taken_off_on_the_way(job, came):
    assert "> Dear Orla," in text_of(demo_answers.answer(came, "Will it last?\n\nOrla"))
    demo_answers.send(came, "Will it last?\n\nOrla")
    assert take().question.text == "Will it last?\n\nOrla"


@pytest.mark.parametrize(
    "name", ["Tidewater Camera Works and Instrument Repairs of Saltmere on the Estuary", "Büro für Kameras"]
)
def test_a_long_or_foreign_name_of_the_workshop_is_taken_off_too(job, came, name):
    came.replace_header("Reply-To", message.mailbox_of(name, "bench@example.org"))
    demo_answers.send(came, "Grüße: will it last?")
    assert take().question.text == "Grüße: will it last?"


def test_with_a_question_of_ours_open_it_is_its_answer(cast, job, came):
    asked = enquiring.enquire(job, "Shall the dent stay?", cast.technician, "once")
    demo_answers.send(came, "Yes, it may stay.")
    assert take().enquiry == asked
    asked.refresh_from_db()
    assert asked.answer == "Yes, it may stay."


def test_the_workshop_has_a_letter_of_it_as_of_every_question(job, came):
    demo_answers.send(came, "Will it last?")
    take()
    relay.run()
    assert "Will it last?" in Letter.objects.get(kind="staff_asked").text


def test_nobody_answers_what_came_from_nobody_or_went_to_oneself(came):
    assert demo_answers.can_be_answered(came)
    came.replace_header("To", str(came["Reply-To"] or came["From"]))
    assert not demo_answers.can_be_answered(came)
    assert not demo_answers.can_be_answered(parsed(b"Subject: x\r\n\r\nDear Orla\r\n"))
    assert not demo_answers.can_be_answered(parsed(b"From: undisclosed:;\r\nTo: nobody\r\n\r\nDear Orla\r\n"))


def test_a_letter_to_the_workshop_is_not_answered_to_itself(job, came):
    demo_answers.send(came, "Will it last?")
    take()
    relay.run()
    to_us = message.build(Letter.objects.get(kind="staff_asked"), "bench@example.org")
    assert not demo_answers.can_be_answered(parsed(to_us))


def in_the_past(cast, text="Will it last?", how="answer") -> Incoming:
    with standing_at(20, 10):
        job = cast.book()
        relay.run()
        demo_answers.answer_in_the_past(job, text, how)
    return Incoming.objects.get()


def test_an_answer_of_the_past_was_taken_on_its_day(cast):
    came = in_the_past(cast)
    assert came.state == Incoming.State.TAKEN
    assert (timezone.localdate() - timezone.localdate(came.at)).days == 20
    assert (timezone.localdate() - timezone.localdate(Question.objects.get().asked_at)).days == 20


def test_an_absence_note_asks_nothing(cast):
    came = in_the_past(cast, "I am travelling.", "absent")
    assert (came.state, came.text) == (Incoming.State.ROBOT, "I am travelling.")
    assert not Question.objects.exists()


def test_what_came_from_another_address_waits_for_the_office(cast):
    came = in_the_past(cast, how="orla@pierhead-printing.example")
    assert came.state == Incoming.State.ASIDE
    assert came.from_address == "orla@pierhead-printing.example"
    assert came.text.startswith("Will it last?")


def test_no_key_to_a_page_stands_in_what_is_quoted_from_the_past(cast):
    came = in_the_past(cast, how="orla@pierhead-printing.example")
    assert "/open/\n" in came.text


def test_who_has_had_no_letter_answers_none(cast):
    demo_answers.answer_in_the_past(cast.book(), "Will it last?", "answer")
    assert not Incoming.objects.exists()
