"""Many letters in one round: over one connection where it holds, each with a note of its own, and the rest given back untouched."""

from datetime import timedelta

import pytest
from django.utils import timezone

from jobs.models import PrivateLink
from notifications import claiming, deliver, relay, waits
from notifications.models import Letter, SweepLease
from tests import services
from tests.once import made_once


class Gate(services.Sink):
    """Counts connections; answers RCPT by `replies`, one for each, then "250 ok". "hang up" closes the line instead."""

    def open(self):
        self.lines, self.replies, self.at_data = [], [], []
        return super().open()

    async def handle_RCPT(self, server, session, envelope, address, options):  # noqa: N802
        if session.peer not in self.lines:
            self.lines.append(session.peer)
        reply = self.replies.pop(0) if self.replies else "250 ok"
        if reply == "hang up":
            server.transport.abort()
        if reply.startswith("250"):
            envelope.rcpt_tos.append(address)
        return reply

    async def handle_DATA(self, server, session, envelope):  # noqa: N802
        if self.at_data:
            return self.at_data.pop(0)
        return await super().handle_DATA(server, session, envelope)


@pytest.fixture
def sink():
    gate = Gate().open()
    yield gate
    gate.close()


@pytest.fixture
def letters(cast, mail_to_sink):
    made_once(twelve_are_due, cast)
    return Letter.objects.all()


def twelve_are_due(cast):
    for number in range(12):
        cast.book(name=f"Guest {number}", email=f"guest{number}@example.org")
    relay.run()


def states() -> list[str]:
    return sorted(Letter.objects.values_list("state", flat=True))


def test_a_round_sends_all_that_is_due_over_one_connection(letters, sink):
    assert deliver.deliver_due() is None
    assert states() == ["sent"] * 12
    assert len(sink.letters) == 12
    assert len(sink.lines) == 1


def test_each_letter_has_one_recipient_and_a_link_of_its_own(letters, sink):
    deliver.deliver_due()
    assert sorted(sink.recipients) == sorted(letters.values_list("to_address", flat=True))
    assert PrivateLink.objects.count() == 12


def test_the_letter_that_was_named_goes_first(letters, sink):
    last = letters.last()
    deliver.deliver_due(last.pk)
    assert sink.recipients[0] == last.to_address


def test_a_connection_that_broke_between_two_letters_is_opened_anew_and_nobody_notices(letters, sink):
    sink.replies = ["250 ok", "hang up"]
    deliver.deliver_due()
    assert states() == ["sent"] * 12
    assert set(letters.values_list("attempts", flat=True)) == {1}
    assert len(sink.lines) == 2


def test_after_a_refusal_the_next_letter_has_a_connection_of_its_own(letters, sink):
    sink.replies = ["250 ok", "550 5.1.1 no such mailbox"]
    deliver.deliver_due()
    assert states() == ["failed"] + ["sent"] * 11
    assert len(sink.lines) == 2
    assert Letter.objects.get(state="failed").trouble == "permanent"


def test_a_doubt_about_one_letter_is_no_doubt_about_the_next(letters, sink):
    sink.behave("drop", spells=1)
    deliver.deliver_due()
    assert states() == ["ambiguous"] + ["sent"] * 11
    assert Letter.objects.get(state="ambiguous").trouble == "ambiguous"


def test_a_server_that_asks_us_to_slow_down_is_asked_by_nobody_for_a_while(letters, sink):
    sink.replies = ["250 ok", "450 4.7.1 rate limit exceeded"]
    assert deliver.deliver_due() is None
    assert states() == ["sent"] + ["waiting"] * 11
    assert deliver.deliver_due() is None
    assert len(sink.letters) == 1
    assert claiming.to_wake() == []


def test_who_was_not_asked_about_has_not_been_tried(letters, sink):
    sink.replies = ["421 4.7.0 too many connections", "421 4.7.0 too many connections"]
    deliver.deliver_due()
    assert sorted(letters.values_list("attempts", flat=True)) == [0] * 11 + [1]
    assert Letter.objects.get(attempts=1).trouble == "throttled"


def test_after_the_rest_all_of_them_go(letters, sink):
    sink.replies = ["450 4.7.1 rate limit exceeded"]
    deliver.deliver_due()
    SweepLease.objects.update(until=timezone.now())
    Letter.objects.filter(state="waiting").update(next_attempt_at=timezone.now())
    deliver.deliver_due()
    assert states() == ["sent"] * 12


def test_a_letter_that_the_office_asks_for_does_not_wait_for_the_end_of_a_rest(letters, sink):
    sink.replies = ["450 4.7.1 rate limit exceeded"]
    deliver.deliver_due()
    other = letters.filter(attempts=0).first()
    Letter.objects.filter(pk=other.pk).update(by_hand=True)
    assert deliver.deliver(other.pk) == "sent"


def test_a_mail_server_that_cannot_be_reached_costs_one_letter_a_try_and_not_all(letters, sink, settings):
    settings.EMAIL_PORT = services.free_port()
    deliver.deliver_due()
    assert sorted(letters.values_list("attempts", flat=True)) == [0] * 11 + [1]
    assert waits.resting(timezone.now()) == ["email"]


def test_what_a_round_has_no_time_for_is_given_back_untouched(letters, sink):
    left = deliver.deliver_due(seconds=-1)
    assert left in letters.values_list("pk", flat=True)
    assert states() == ["waiting"] * 12
    assert set(letters.values_list("attempts", "lease_token", "woken_at")) == {(0, None, None)}


def test_a_letter_in_doubt_that_is_given_back_is_still_in_doubt(letters):
    Letter.objects.update(state="ambiguous", doubts=1)
    claiming.give_back(claiming.claim_some())
    assert states() == ["ambiguous"] * 12


def test_a_claim_takes_ten_and_the_next_one_the_others(letters):
    assert [len(claiming.claim_some()) for _ in range(3)] == [10, 2, 0]


def test_content_that_is_refused_before_it_leaves_makes_no_link(letters, sink, monkeypatch):
    monkeypatch.setattr("smtplib.SMTP.docmd", lambda self, *words: (451, b"not now"))
    deliver.deliver(letters.first().pk)
    assert PrivateLink.objects.count() == 0
    assert letters.first().handed_at is None


def test_a_letter_that_somebody_else_has_by_now_does_not_leave(letters, sink):
    taken = claiming.claim(letters.first().pk)
    Letter.objects.filter(pk=taken.pk).update(lease_until=timezone.now() - timedelta(seconds=1))
    deliver.free_the_stranded()
    with deliver.Ways() as ways:
        deliver._send(taken, ways)
    assert sink.letters == []
    assert PrivateLink.objects.count() == 0
