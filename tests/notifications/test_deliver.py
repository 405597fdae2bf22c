"""Delivery against a real SMTP server that misbehaves: what is tried again, what is not, and what is known afterwards."""

import threading
from datetime import timedelta

import pytest
from celery.exceptions import SoftTimeLimitExceeded
from django.db import connection
from django.utils import timezone

from jobs.actions.contact import want_progress
from jobs.models import PrivateLink
from notifications import claiming, deliver, relay, returned
from notifications.channels.email import Email
from notifications.lost import BOUNCED
from notifications.models import Letter
from tests import services
from tests.cast import make_cast
from tests.notifications.scenes import booked, letter_of


class Doorkeeper(services.Sink):
    """Misbehaves at RCPT as well: "refuse", "later" or "hang up" before any content is asked for."""

    at_door = "ok"

    async def handle_RCPT(self, server, session, envelope, address, options):  # noqa: N802
        if self.at_door == "hang up":
            server.transport.abort()
        answers = {"refuse": "550 no such mailbox", "later": "450 try again later"}
        if self.at_door in answers:
            return answers[self.at_door]
        envelope.rcpt_tos.append(address)
        return "250 ok"


@pytest.fixture
def sink():
    sink = Doorkeeper().open()
    yield sink
    sink.close()


@pytest.fixture
def letter(cast, mail_to_sink):
    return booked(cast)


def sent(letter: Letter) -> Letter:
    deliver.deliver(letter.pk)
    letter.refresh_from_db()
    return letter


def due_now(letter: Letter) -> None:
    Letter.objects.filter(pk=letter.pk).update(next_attempt_at=timezone.now())


def ids(sink: services.Sink) -> list[bytes]:
    return [line for mail in sink.letters for line in mail.splitlines() if line.startswith(b"Message-ID:")]


def test_a_letter_is_delivered_once_and_says_when(letter, sink):
    assert sent(letter).state == "sent"
    assert letter.sent_at is not None
    assert sink.recipients == ["orla@example.org"]


def test_a_letter_that_was_sent_is_not_sent_again(letter, sink):
    sent(letter)
    assert deliver.deliver(letter.pk) == ""
    assert len(sink.letters) == 1


def test_a_temporary_no_is_tried_again_later(letter, sink):
    sink.behave("4xx", spells=1)
    assert sent(letter).state == "waiting"
    assert letter.last_error == "451 come back later"
    assert letter.next_attempt_at > timezone.now() + timedelta(seconds=40)
    due_now(letter)
    assert sent(letter).state == "sent"


def test_a_permanent_no_fails_at_once_and_the_office_sees_it(letter, sink):
    sink.behave("5xx")
    assert sent(letter).state == "failed"
    assert letter.last_error == "550 nobody of that name here"
    assert letter in Letter.objects.troubled()


def test_an_address_that_the_server_does_not_know_fails_before_anything_left(letter, sink):
    sink.at_door = "refuse"
    assert sent(letter).state == "failed"
    assert letter.handed_at is None
    assert sink.letters == []


def test_a_letter_that_was_refused_for_good_is_followed_up_in_the_same_breath(letter, sink):
    sink.at_door = "refuse"
    sent(letter)
    assert letter.trouble == "permanent"
    assert letter.job.entries.filter(kind="came_back").exists()


def test_a_letter_whose_follow_up_breaks_has_failed_all_the_same(letter, sink, monkeypatch, caplog):
    def breaks(letter, error):
        raise RuntimeError("broken")

    monkeypatch.setattr(deliver.returned, "could_not_go", breaks)
    sink.at_door = "refuse"
    assert sent(letter).state == "failed"
    assert not letter.job.entries.filter(kind="came_back").exists()


@pytest.mark.parametrize("manner", ["later", "hang up"])
def test_whatever_goes_wrong_before_the_content_leaves_is_safe_to_try_again(letter, sink, manner):
    sink.at_door = manner
    assert sent(letter).state == "waiting"
    assert (letter.handed_at, letter.doubts) == (None, 0)


def test_a_try_that_failed_before_the_content_leaves_no_private_link_behind(letter, sink):
    sink.at_door = "later"
    sent(letter)
    assert PrivateLink.objects.count() == 0


@pytest.mark.parametrize("manner", ["4xx", "5xx"])
def test_a_letter_that_the_server_has_read_and_not_taken_leaves_no_private_link_either(letter, sink, manner):
    sink.behave(manner, spells=1)
    sent(letter)
    assert not PrivateLink.objects.exists()


def test_a_mail_server_that_is_not_there_is_tried_again(letter, sink):
    sink.close()
    assert sent(letter).state == "waiting"
    assert "refused" in letter.last_error
    sink.open()


def test_a_server_that_hangs_up_after_it_kept_the_letter_leaves_a_doubt(letter, sink):
    sink.behave("drop", spells=1)
    assert sent(letter).state == "ambiguous"
    assert letter.handed_at is not None
    assert letter in Letter.objects.troubled()


def test_a_doubt_is_tried_once_more_with_the_same_identity(letter, sink):
    sink.behave("drop", spells=1)
    sent(letter)
    assert letter.next_attempt_at > timezone.now() + timedelta(minutes=3)
    due_now(letter)
    assert sent(letter).state == "sent"
    assert len(ids(sink)) == 2
    assert len(set(ids(sink))) == 1


def test_a_second_doubt_is_left_to_a_person(letter, sink):
    sink.behave("drop")
    sent(letter)
    due_now(letter)
    assert sent(letter).state == "ambiguous"
    assert letter.next_attempt_at is None
    assert letter not in Letter.objects.owed()


def test_a_server_that_is_too_slow_to_say_yes_leaves_a_doubt(letter, sink, settings):
    settings.EMAIL_TIMEOUT = 1
    sink.delay = 2
    sink.behave("slow", spells=1)
    assert sent(letter).state == "ambiguous"


def test_a_letter_about_a_quote_that_was_answered_meanwhile_is_not_sent(cast, mail_to_sink, sink):
    job = cast.job_at("quoted")
    relay.run()
    letter = letter_of(job, "quote_sent")
    cast.agree(job.quotes.get())
    assert sent(letter).state == "skipped"
    assert sink.letters == []


def test_who_leaves_progress_out_gets_none_that_was_waiting(cast, mail_to_sink, sink):
    job = cast.job_at("arrived")
    relay.run()
    want_progress(job.customer, False)
    assert sent(letter_of(job, "arrived")).state == "skipped"


def test_after_many_tries_a_letter_is_given_up(letter, sink):
    sink.behave("4xx")
    Letter.objects.filter(pk=letter.pk).update(attempts=deliver.MOST_ATTEMPTS - 1)
    assert sent(letter).state == "failed"
    assert letter.last_error.startswith("Given up after many tries")


def test_a_letter_that_is_tried_again_and_again_worries_the_office(letter, sink):
    sink.behave("4xx")
    for _ in range(3):
        due_now(letter)
        sent(letter)
    assert letter in Letter.objects.troubled()


def test_the_claim_of_a_worker_that_was_killed_before_the_content_left_is_given_up(letter):
    claiming.claim(letter.pk)
    Letter.objects.update(lease_until=timezone.now() - timedelta(seconds=1))
    assert deliver.free_the_stranded() == 1
    letter.refresh_from_db()
    assert (letter.state, letter.doubts) == ("waiting", 0)
    assert letter in Letter.objects.owed()


def test_the_claim_of_a_worker_that_was_killed_while_handing_over_leaves_a_doubt(letter):
    claiming.claim(letter.pk)
    Letter.objects.update(lease_until=timezone.now() - timedelta(seconds=1), handed_at=timezone.now())
    deliver.free_the_stranded()
    letter.refresh_from_db()
    assert (letter.state, letter.doubts) == ("ambiguous", 1)


def test_a_letter_that_stops_every_worker_is_tried_ever_more_seldom_and_given_up(letter):
    for attempts, state in ((0, "waiting"), (3, "waiting"), (deliver.MOST_ATTEMPTS, "failed")):
        Letter.objects.update(state="waiting", attempts=attempts, next_attempt_at=timezone.now())
        claiming.claim(letter.pk)
        Letter.objects.update(lease_until=timezone.now() - timedelta(seconds=1))
        deliver.free_the_stranded()
        letter.refresh_from_db()
        assert letter.state == state
        assert (letter in Letter.objects.owed()) is (attempts == 0)


@pytest.mark.parametrize(("handed", "state"), [(False, "waiting"), (True, "ambiguous")])
def test_the_end_of_the_tasks_time_leaves_no_letter_in_mid_air(letter, monkeypatch, caplog, handed, state):
    def too_long(self, given, before_handing):
        if handed:
            before_handing()
        raise SoftTimeLimitExceeded

    monkeypatch.setattr(Email, "send", too_long)
    assert sent(letter).state == state
    assert letter.lease_token is None


def test_a_letter_that_came_back_before_its_server_said_yes_stays_one_that_came_back(
    letter, sink, monkeypatch
):
    def quick(self, letter, before_handing):
        before_handing()
        returned.came_back(letter, BOUNCED, "550 5.1.1 nobody of that name")

    monkeypatch.setattr(Email, "send", quick)
    sent(letter)
    assert letter.state == "returned"


def test_a_claim_that_is_still_good_is_left_alone(letter):
    claiming.claim(letter.pk)
    assert deliver.free_the_stranded() == 0


def test_a_claim_outlives_every_task(settings):
    assert claiming.lease().total_seconds() > settings.CELERY_TASK_TIME_LIMIT


def test_in_a_backlog_no_letter_is_told_about_twice_within_a_minute(letter):
    assert claiming.to_wake() == [letter.pk]
    Letter.objects.update(woken_at=timezone.now())
    assert claiming.to_wake() == []
    Letter.objects.update(woken_at=timezone.now() - timedelta(seconds=61))
    assert claiming.to_wake() == [letter.pk]


def test_sending_takes_the_same_number_of_queries_whatever_is_in_the_letter(
    letter, django_assert_max_num_queries
):
    with django_assert_max_num_queries(14):
        sent(letter)


@pytest.mark.django_db(transaction=True)
def test_of_many_workers_that_claim_one_letter_at_once_one_gets_it():
    letter = booked(make_cast())
    start, got = threading.Barrier(8), []

    def claim() -> None:
        start.wait()
        try:
            got.append(claiming.claim(letter.pk))
        finally:
            connection.close()

    threads = [threading.Thread(target=claim) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(got) == 8
    assert sum(claimed is not None for claimed in got) == 1


@pytest.mark.django_db(transaction=True)
def test_the_row_says_sending_before_a_word_is_spoken_and_no_transaction_is_open(mail_to_sink, monkeypatch):
    """Committed, so that another process sees it: the fixture refuses connections from inside a transaction."""
    letter = booked(make_cast())
    seen: list[str] = []
    whole = Email.send

    def spying(self, given, before_handing):
        seen.append(Letter.objects.get(pk=given.pk).state)
        whole(self, given, before_handing)

    monkeypatch.setattr(Email, "send", spying)
    assert deliver.deliver(letter.pk) == "sent"
    assert seen == ["sending"]
