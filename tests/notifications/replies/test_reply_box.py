"""The reply box, read in a real IMAP conversation."""

from datetime import timedelta

import pytest
from django.utils import timezone

from jobs.actions import asking
from jobs.actions.refusals import Refused
from jobs.actor import HOUSE, Actor
from jobs.models import Question
from notifications import message, relay, tasks
from notifications.models import Incoming, Letter, ReplyBox, SweepLease
from notifications.replies import address, by_hand, keeping, reply_box, taking
from notifications.sealing import seal
from tests.imap import Mailbox
from tests.notifications.replies.mails import BOX, reply

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def mailbox():
    mailbox = Mailbox()
    yield mailbox
    mailbox.close()


@pytest.fixture
def box(mailbox, db):
    return ReplyBox.objects.create(
        host="127.0.0.1",
        port=mailbox.port,
        user="bench",
        sealed_password=seal("a password"),
        security="none",
        address=BOX,
    )


@pytest.fixture
def job(cast):
    return cast.book()


def begun(box: ReplyBox) -> ReplyBox:
    """As if it had been looked into before."""
    reply_box.look()
    box.refresh_from_db()
    return box


def test_a_reply_is_found_and_kept(box, mailbox, job):
    begun(box)
    mailbox.put(reply(job))
    assert reply_box.look() == 1
    incoming = Incoming.objects.get()
    assert (incoming.via, incoming.state) == ("imap", Incoming.State.NEW)
    assert taking.take(incoming.pk) == Incoming.State.TAKEN


def test_what_lay_in_the_box_before_is_left_alone(box, mailbox, job):
    mailbox.put(reply(job))
    assert reply_box.look() == 0
    mailbox.put(reply(job, "And the cover?", Message_ID="<2@example.org>"))
    assert reply_box.look() == 1


def test_the_mailbox_is_left_as_it_was(box, mailbox, job):
    begun(box)
    mailbox.put(reply(job))
    reply_box.look()
    assert mailbox.messages[0].flags == set()
    assert any(command.startswith("EXAMINE") for command in mailbox.commands)
    assert not any(command.startswith(("SELECT", "UID STORE", "UID MOVE")) for command in mailbox.commands)


def test_a_message_is_fetched_once(box, mailbox, job):
    begun(box)
    mailbox.put(reply(job))
    reply_box.look()
    mailbox.commands.clear()
    assert reply_box.look() == 0
    assert not any("FETCH" in command for command in mailbox.commands)


def test_mail_that_is_none_of_our_business_is_not_fetched_nor_kept(box, mailbox, job):
    begun(box)
    mailbox.put(reply(None, "Cheap film!", From="Shop <news@example.com>"))
    assert reply_box.look() == 0
    assert not Incoming.objects.exists()
    assert not any("PEEK[] " in command for command in mailbox.commands)


def test_our_own_letters_to_the_workshop_are_not_taken_for_answers(box, mailbox, cast):
    """The box may be the workshop's own mailbox; from the second on they name an earlier letter of ours."""
    begun(box)
    job = cast.job_at("in_work")
    for once in ("once-1", "once-2"):
        asking.ask(job, "When?", Actor.customer(job.customer), once)
        relay.run()
        Letter.objects.filter(kind="staff_asked").update(state="sent")
    for letter in Letter.objects.filter(kind="staff_asked"):
        mailbox.put(message.build(letter, BOX))
    assert reply_box.look() == 0
    assert not Incoming.objects.exists()


def test_a_customers_own_letter_is_kept_for_the_office(box, mailbox, job):
    begun(box)
    mailbox.put(reply(job, To=BOX))
    assert reply_box.look() == 1


def test_a_box_that_was_numbered_anew_asks_nothing_twice(box, mailbox, job):
    begun(box)
    mailbox.put(reply(job))
    reply_box.look()
    taking.take(Incoming.objects.get().pk)
    mailbox.number_anew()
    mailbox.put(reply(job, "And the cover?", Message_ID="<2@example.org>"))
    reply_box.look()
    for incoming in Incoming.objects.all():
        taking.take(incoming.pk)
    assert Question.objects.count() == 2


@pytest.mark.parametrize("renumbered_to", [1, 900])
def test_a_box_that_was_numbered_anew_without_news_does_not_bring_its_whole_past(
    box, mailbox, job, renumbered_to
):
    """The newest message is older than what is looked at once more."""
    begun(box)
    mailbox.put(reply(job))
    mailbox.number_anew(renumbered_to)
    mailbox.late_from = mailbox.next_uid
    assert [reply_box.look(), reply_box.look()] == [0, 0]
    mailbox.put(reply(job, "And the cover?", Message_ID="<2@example.org>"))
    assert reply_box.look() == 1


def test_a_box_that_was_numbered_anew_is_read_on_from_where_a_crash_left_it(box, mailbox, job, monkeypatch):
    begun(box)
    mailbox.put(reply(job, "Long ago", Message_ID="<1@example.org>"))
    mailbox.put(reply(job, "Today", Message_ID="<2@example.org>"))
    mailbox.number_anew(900)
    mailbox.late_from = 901
    with monkeypatch.context() as broken:
        broken.setattr(keeping, "write", lambda _raw: 1 / 0)
        with pytest.raises(ZeroDivisionError):
            reply_box.look()
    assert reply_box.look() == 1
    assert taking.take(Incoming.objects.get().pk) == Incoming.State.TAKEN
    assert Question.objects.get().text == "Today"


@pytest.mark.parametrize("crash_in", ["write", "_note"])
def test_a_crash_while_keeping_loses_nothing(box, mailbox, job, monkeypatch, crash_in):
    begun(box)
    mailbox.put(reply(job))

    def crash(*_args):
        raise RuntimeError

    with monkeypatch.context() as broken:
        broken.setattr(keeping, crash_in, crash)
        with pytest.raises(RuntimeError):
            reply_box.look()
    assert reply_box.look() == 1
    assert Incoming.objects.count() == 1


def test_a_crash_before_the_number_is_noted_brings_it_again_and_it_is_known(box, mailbox, job):
    begun(box)
    mailbox.put(reply(job))
    reply_box.look()
    ReplyBox.objects.update(last_uid=0)
    reply_box.look()
    assert Incoming.objects.count() == 1


def test_a_connection_that_breaks_is_told_to_the_owner_and_tried_again(box, mailbox, job):
    begun(box)
    mailbox.put(reply(job))
    mailbox.mode = "hang up"
    reply_box.look()
    box.refresh_from_db()
    assert "hung up" in box.trouble
    mailbox.mode = "ok"
    assert reply_box.look() == 1
    box.refresh_from_db()
    assert box.trouble == ""


def test_a_wrong_password_is_told(box, mailbox):
    mailbox.mode = "no login"
    reply_box.look()
    box.refresh_from_db()
    assert "password" in box.trouble


def test_a_folder_that_is_not_there_is_told(box):
    ReplyBox.objects.update(folder="Nowhere")
    reply_box.look()
    box.refresh_from_db()
    assert "no folder" in box.trouble


def test_nobody_at_the_port_is_told(box, mailbox):
    ReplyBox.objects.update(port=9)
    reply_box.look()
    box.refresh_from_db()
    assert "port" in box.trouble


def test_a_message_of_50_megabytes_is_not_fetched_whole(box, mailbox, job):
    begun(box)
    mailbox.put(reply(job) + b"x" * (50 * 1024 * 1024))
    mailbox.commands.clear()
    assert reply_box.look() == 1
    assert Incoming.objects.get().state == Incoming.State.ASIDE
    assert all("[HEADER]" in command for command in mailbox.commands if "FETCH" in command)


def test_a_message_that_the_server_has_lost_is_kept_as_its_head_and_stops_no_other(box, mailbox, job):
    begun(box)
    mailbox.put(reply(job))
    mailbox.mode = "no body"
    reply_box.look()
    lost = Incoming.objects.get()
    assert (lost.state, lost.subject) == (Incoming.State.ASIDE, "Re: Your Corvane Skerry")
    assert "did not hand it over" in lost.why
    mailbox.mode = "ok"
    mailbox.put(reply(job, "And the cover?", Message_ID="<2@example.org>"))
    assert reply_box.look() == 1


def test_a_message_without_even_a_head_is_asked_for_again_and_comes_after_all(box, mailbox, job):
    begun(box)
    mailbox.put(reply(job))
    mailbox.mode = "no head"
    assert reply_box.look() == 0
    mailbox.mode = "ok"
    assert reply_box.look() == 1
    assert taking.take(Incoming.objects.get().pk) == Incoming.State.TAKEN


def test_a_message_that_never_comes_is_shown_to_the_office_and_stops_no_other(box, mailbox, job):
    begun(box)
    mailbox.put(reply(job))
    mailbox.mode = "no head"
    for _look in range(3):
        reply_box.look()
    lost = Incoming.objects.get()
    assert (lost.state, lost.file) == (Incoming.State.ASIDE, "")
    assert "not even its head" in lost.why
    with pytest.raises(Refused, match="Nothing of it"):
        by_hand.take_by_hand(lost, job, HOUSE)
    mailbox.mode = "ok"
    mailbox.put(reply(job, "And the cover?", Message_ID="<2@example.org>"))
    assert reply_box.look() == 1
    assert Incoming.objects.count() == 2


def test_our_own_test_letter_proves_that_signed_addresses_arrive(box, mailbox, job):
    begun(box)
    mailbox.put(reply(None, "Test", To=address.proof(BOX), Message_ID="<proof@example.org>"))
    reply_box.look()
    taking.take(Incoming.objects.get().pk)
    box.refresh_from_db()
    assert box.plus_proved_at
    relay.run()
    assert "+" in address.reply_to(Letter.objects.get(kind="booked"))


def test_a_forged_test_letter_proves_nothing(box, mailbox, job):
    begun(box)
    mailbox.put(reply(None, "Test", To="bench+proof.aaaaaaaaaaaaaaaa@tidewater.example"))
    reply_box.look()
    taking.take(Incoming.objects.get().pk)
    box.refresh_from_db()
    assert box.plus_proved_at is None


def test_the_minutes_look_is_taken_once_and_wakes_what_was_left(box, mailbox, job, broker):
    keeping.keep(reply(job), "imap")
    broker.flushdb()
    tasks.look_for_replies()
    assert broker.llen("benchletter:notify") == 1
    mailbox.commands.clear()
    tasks.look_for_replies()
    assert mailbox.commands == []
    SweepLease.objects.update(until=timezone.now() - timedelta(seconds=1))
    tasks.look_for_replies()
    assert mailbox.commands
