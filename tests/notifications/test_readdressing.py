"""What changed between a letter's writing and its leaving: the address, the wish for texts, the hour of the day."""

from datetime import UTC, datetime, time

import pytest
from django.utils import timezone

from jobs.actions.contact import correct_email, want_texts
from jobs.models import PrivateLink, Workshop
from notifications import deliver, message, readdressing
from notifications.chasing import keeping, nudge_all_due
from notifications.models import Letter, TextGateway
from tests.cast import make_cast
from tests.notifications.scenes import run, told_of_a_quote
from tests.once import made_once

OLD, NEW, NUMBER = "orla@example.org", "right@example.org", "+441632960142"


@pytest.fixture
def letter(cast, mail_to_sink) -> Letter:
    """It waits while its address is corrected."""
    return made_once(told_of_a_quote, cast)


def sent(letter: Letter) -> Letter:
    Letter.objects.filter(pk=letter.pk).update(next_attempt_at=timezone.now())
    deliver.deliver(letter.pk)
    letter.refresh_from_db()
    return letter


def test_a_letter_that_waited_goes_to_the_address_that_was_corrected_meanwhile(cast, letter, mail_to_sink):
    correct_email(letter.job.customer, NEW, cast.owner)
    assert (sent(letter).state, letter.to_address) == ("sent", NEW)
    assert mail_to_sink.recipients == [NEW]
    assert f"To: Orla Fennimore <{NEW}>".encode() in mail_to_sink.letters[0]
    assert not PrivateLink.objects.live().filter(made_for=OLD).exists()


def test_a_letter_that_is_tried_again_goes_to_the_address_that_was_corrected_meanwhile(
    cast, letter, mail_to_sink
):
    mail_to_sink.behave("4xx", spells=1)
    assert sent(letter).state == "waiting"
    correct_email(letter.job.customer, NEW, cast.owner)
    sent(letter)
    assert mail_to_sink.recipients[-1] == NEW


def test_a_letter_whose_address_is_corrected_while_it_sets_out_does_not_leave(
    cast, letter, mail_to_sink, monkeypatch
):
    """The mail server has taken the old recipient, and is about to be given the content."""
    build = message.build

    def meanwhile(*about, **more):
        correct_email(letter.job.customer, NEW, cast.owner)
        return build(*about, **more)

    monkeypatch.setattr(message, "build", meanwhile)
    assert sent(letter).state == "waiting"
    assert mail_to_sink.letters == []
    assert not PrivateLink.objects.live().filter(job=letter.job).exists()
    monkeypatch.undo()
    sent(letter)
    assert mail_to_sink.recipients == [NEW]


def test_a_letter_to_the_workshop_follows_the_workshop(cast, letter, mail_to_sink):
    Letter.objects.filter(pk=letter.pk).update(person=None, to_address="old@tidewater.example")
    assert sent(letter).to_address == cast.workshop.email


@pytest.fixture
def text(cast) -> Letter:
    TextGateway.objects.create(url="https://texts.example.org/", body='{"to": "{to}", "text": "{text}"}')
    job = cast.job_at("examining")
    want_texts(job.customer, NUMBER, True)
    cast.post_finding(job)
    cast.send_quote(job)
    run()
    return Letter.objects.get(kind="quote_sent", channel="text")


def test_no_text_goes_to_who_wants_none_any_more(text):
    want_texts(text.person, "", False)
    assert (sent(text).state, text.why) == ("skipped", "They want no text messages any more.")


def test_a_text_that_was_the_only_way_shows_in_the_office_when_they_want_none_any_more(text):
    Letter.objects.filter(channel="email").update(state="failed")
    want_texts(text.person, "", False)
    assert sent(text).state == "failed"
    assert text in Letter.objects.troubled()


def test_a_text_goes_to_the_number_that_was_typed_last(text):
    want_texts(text.person, "+441632960199", True)
    assert readdressing.why_nowhere(text) == ""
    assert text.to_address == "+441632960199"


# --- by day ----------------------------------------------------------------------------------------------------------


@pytest.fixture
def nudge(db, time_machine, mail_to_sink) -> Letter:
    """A reminder of Wednesday morning."""
    time_machine.move_to(datetime(2026, 7, 6, 9, 0, tzinfo=UTC))
    cast = make_cast(work_days=[0, 1, 2, 3, 4])
    Workshop.objects.update(quiet_from=time(20), quiet_until=time(8))
    cast.job_at("quoted")
    run()
    time_machine.move_to(datetime(2026, 7, 8, 9, 5, tzinfo=UTC))
    keeping.refresh_all()
    nudge_all_due(timezone.now())
    run()
    return Letter.objects.get(kind="nudged")


def test_a_reminder_whose_turn_comes_at_night_waits_for_the_morning_and_that_is_no_try(
    nudge, time_machine, mail_to_sink
):
    time_machine.move_to(datetime(2026, 7, 8, 23, 5, tzinfo=UTC))  # after an outage; midnight in London
    assert (sent(nudge).state, nudge.attempts, nudge.trouble) == ("waiting", 0, "")
    assert nudge.next_attempt_at == datetime(2026, 7, 9, 7, 0, tzinfo=UTC)
    assert mail_to_sink.letters == []
    time_machine.move_to(datetime(2026, 7, 9, 7, 0, 1, tzinfo=UTC))
    assert sent(nudge).state == "sent"


def test_a_reminder_in_doubt_stays_in_doubt_over_night(nudge, time_machine):
    Letter.objects.filter(pk=nudge.pk).update(state="ambiguous", doubts=1)
    time_machine.move_to(datetime(2026, 7, 8, 23, 5, tzinfo=UTC))
    assert sent(nudge).state == "ambiguous"


def test_a_reminder_that_the_office_sends_by_hand_goes_at_night_too(nudge, time_machine):
    Letter.objects.filter(pk=nudge.pk).update(by_hand=True)
    time_machine.move_to(datetime(2026, 7, 8, 23, 5, tzinfo=UTC))
    assert sent(nudge).state == "sent"
