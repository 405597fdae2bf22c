"""The letter with six figures: they stand in what the mail server gets, and nowhere else."""

import email
import email.policy
import re

import pytest

from jobs.actions import coding, quote
from jobs.actor import Actor
from jobs.models import Code
from notifications import deliver, relay
from notifications.letters import preview, resend
from notifications.models import Letter
from tests.notifications.scenes import letter_of
from tests.once import made_once

DEVICE = "a-new-device"


@pytest.fixture
def sent(cast):
    return made_once(cast.job_at, "quoted").quotes.open().get()


@pytest.fixture
def orla(sent):
    return Actor.customer(sent.job.customer)


@pytest.fixture
def letter(sent, orla, mail_to_sink):
    coding.ask_for_code(sent, DEVICE, orla)
    relay.run()
    return letter_of(sent.job, "code")


def mail_of(sink):
    return email.message_from_bytes(sink.letters[-1], policy=email.policy.default)


def figures_in(sink):
    text = mail_of(sink).get_body(("plain",)).get_content()
    return re.search(r"(?m)^(\d{6})\r?$", text)[1]


def test_the_figures_that_arrive_open_the_answer(letter, sink, sent, orla):
    deliver.deliver(letter.pk)
    assert sink.recipients == ["orla@example.org"]
    assert isinstance(coding.type_code(sent, DEVICE, figures_in(sink), orla), coding.Right)


def test_neither_the_kept_letter_nor_the_subject_has_the_figures(letter, sink):
    deliver.deliver(letter.pk)
    figures = figures_in(sink)
    assert figures in mail_of(sink).get_body(("html",)).get_content()
    letter.refresh_from_db()
    assert figures not in letter.text + letter.html + letter.subject + mail_of(sink)["Subject"]


def test_what_the_office_sees_has_no_figures_and_no_place_for_them(letter):
    shown = preview(letter)
    assert "code-" not in shown.text + shown.html
    assert not re.search(r"(?m)^\d{6}$", shown.text)


def test_it_says_never_to_read_them_out(letter):
    assert "Never read them out to anybody." in letter.text
    assert "not by telephone" in letter.text


def test_sent_again_by_hand_it_has_new_figures(letter, sink, sent, orla):
    deliver.deliver(letter.pk)
    first = Code.objects.get().code_hash
    resend(letter)
    deliver.deliver(letter.pk)
    assert Code.objects.get().code_hash != first
    assert isinstance(coding.type_code(sent, DEVICE, figures_in(sink), orla), coding.Right)


def test_an_older_letter_that_has_not_left_is_dropped_for_the_newer(letter, sink, sent, orla):
    coding.ask_for_code(sent, DEVICE, orla)
    relay.run()
    assert deliver.deliver(letter.pk) == "skipped"
    newer = Letter.objects.filter(kind="code").latest("pk")
    assert deliver.deliver(newer.pk) == "sent"


def test_for_a_quote_that_no_longer_waits_none_is_sent(letter, sink, sent, cast):
    quote.take_back_quote(sent.job, cast.technician)
    assert deliver.deliver(letter.pk) == "skipped"
    assert sink.letters == []
