"""Letters that did not reach anybody."""

import pytest

from jobs.actions import asking
from jobs.actor import HOUSE, Actor
from jobs.models import Customer, Kind
from jobs.words import Way
from notifications import relay, returned, ways
from notifications.channels.base import Trouble, Undelivered
from notifications.lost import BOUNCED, REFUSED
from notifications.models import DeadAddress, Letter, TextGateway
from notifications.replies.reports import Report
from tests.notifications.scenes import told_of_a_quote
from tests.once import made_once

NO_SUCH_USER = "550 5.1.1 <orla@example.org>: Recipient address rejected: User unknown"
FULL = "552 5.2.2 mailbox full"


@pytest.fixture
def letter(cast):
    sent = made_once(told_of_a_quote, cast)
    Letter.objects.filter(pk=sent.pk).update(state=Letter.State.SENT)
    sent.refresh_from_db()
    return sent


@pytest.fixture
def job(letter):
    return letter.job


@pytest.fixture
def texts(job):
    """They want text messages, and the workshop can send them."""
    TextGateway.objects.create(url="https://gateway.example/send", body="{}")
    job.customer.text_to, job.customer.wants_texts = "+441632960142", True
    job.customer.save()


def entries(job):
    return [entry.data for entry in job.entries.filter(kind=Kind.CAME_BACK)]


def test_a_letter_that_came_back_says_so_and_its_address_is_dead(letter, job):
    assert returned.came_back(letter, BOUNCED, NO_SUCH_USER)
    letter.refresh_from_db()
    assert letter.state == Letter.State.RETURNED
    assert ways.is_dead(Way.EMAIL, "Orla@example.org")


def test_the_journal_tells_of_it_without_the_address(letter, job):
    returned.came_back(letter, BOUNCED, NO_SUCH_USER)
    (told,) = entries(job)
    assert (told["letter"], told["way"], told["why"], told["next"]) == (letter.pk, "email", "bounced", "")
    assert "@" not in job.entries.get(kind=Kind.CAME_BACK).body
    assert "User unknown" in told["said"]


def test_the_workshop_is_told_by_letter(letter, job):
    returned.came_back(letter, BOUNCED, NO_SUCH_USER)
    relay.run()
    told = Letter.objects.get(job=job, kind="staff_came_back")
    assert told.person is None
    assert "orla@example.org" in told.text
    assert "01632 960142" in told.text
    assert f"/office/{job.ref}" in told.text or f"/office/{job.shown_ref}" in told.text


def test_the_same_news_twice_is_told_once(letter, job):
    returned.came_back(letter, BOUNCED, NO_SUCH_USER)
    assert not returned.came_back(letter, BOUNCED, NO_SUCH_USER)
    assert len(entries(job)) == 1


def test_what_came_back_goes_by_the_next_way(letter, job, texts):
    returned.came_back(letter, BOUNCED, NO_SUCH_USER)
    turned = Letter.objects.get(job=job, entry=letter.entry, channel=Way.TEXT)
    assert turned.to_address == "+441632960142"
    assert entries(job)[0]["next"] == "text"


def test_a_full_mailbox_is_no_dead_address(letter):
    returned.came_back(letter, BOUNCED, FULL)
    assert not DeadAddress.objects.exists()


def test_a_refused_address_is_dead_and_the_workshop_hears_of_it(letter, job):
    Letter.objects.filter(pk=letter.pk).update(state=Letter.State.FAILED)
    returned.could_not_go(letter, Undelivered(NO_SUCH_USER, Trouble.PERMANENT))
    letter.refresh_from_db()
    assert letter.state == Letter.State.FAILED
    assert entries(job)[0]["why"] == "refused"
    assert ways.is_dead(Way.EMAIL, "orla@example.org")


def test_another_failure_only_turns_to_the_next_way(letter, job, texts):
    Letter.objects.filter(pk=letter.pk).update(state=Letter.State.FAILED)
    returned.could_not_go(letter, Undelivered("554 5.7.1 looks like spam", Trouble.PERMANENT))
    assert Letter.objects.filter(entry=letter.entry, channel=Way.TEXT).count() == 1
    assert not entries(job)
    assert not DeadAddress.objects.exists()


def test_a_letter_that_was_refused_does_not_come_back_as_well(letter, job):
    Letter.objects.filter(pk=letter.pk).update(state=Letter.State.FAILED)
    returned.could_not_go(letter, Undelivered("inactive", Trouble.PERMANENT, no_such_address=True))
    assert not returned.came_back(letter, REFUSED, "inactive", dead=True)
    assert len(entries(job)) == 1


def test_what_waits_for_an_address_that_has_died_takes_the_next_way(
    letter, job, texts, django_capture_on_commit_callbacks
):
    asking.answer(asking.ask(job, "When?", Actor.customer(job.customer), "once-1"), "Soon.", HOUSE)
    relay.run()
    Letter.objects.filter(job=job, kind="answered", channel=Way.TEXT).delete()
    waiting = Letter.objects.get(job=job, kind="answered")
    with django_capture_on_commit_callbacks(execute=True):
        returned.came_back(letter, BOUNCED, NO_SUCH_USER)
    waiting.refresh_from_db()
    assert (waiting.state, waiting.last_error) == (
        "failed",
        "An earlier letter to orla@example.org came back.",
    )
    assert Letter.objects.get(entry=waiting.entry, channel=Way.TEXT).state == "waiting"


def test_what_waits_for_somebody_whose_dead_address_has_been_corrected_waits_on(
    letter, job, django_capture_on_commit_callbacks
):
    Letter.objects.filter(job=job, kind="booked").update(state="waiting")
    Customer.objects.filter(pk=job.customer_id).update(email="right@example.org")
    with django_capture_on_commit_callbacks(execute=True):
        returned.came_back(letter, BOUNCED, NO_SUCH_USER)
    assert Letter.objects.get(job=job, kind="booked").state == "waiting"


def test_a_letter_to_the_workshop_that_failed_writes_no_other(cast, job):
    relay.run()
    ours = Letter.objects.filter(job=job).first()
    ours.person = None
    returned.could_not_go(ours, Undelivered(NO_SUCH_USER, Trouble.PERMANENT))
    assert not entries(job)


def test_the_workshops_own_address_is_never_dead(cast, job):
    relay.run()
    ours = Letter.objects.get(job=job, kind="quote_sent")
    Letter.objects.filter(pk=ours.pk).update(person=None, to_address="bench@tidewater.example", state="sent")
    ours.refresh_from_db()
    assert returned.came_back(ours, BOUNCED, NO_SUCH_USER)
    assert not DeadAddress.objects.exists()
    assert not entries(job)


def test_a_complaint_ends_letters_of_progress_and_closes_the_address(letter, job):
    assert returned.complained(letter)
    job.customer.refresh_from_db()
    assert not job.customer.wants_progress
    assert ways.is_dead(Way.EMAIL, "orla@example.org")
    assert entries(job)[0]["why"] == "complained"
    letter.refresh_from_db()
    assert letter.state == Letter.State.SENT  # it did arrive


def test_a_complaint_is_told_once(letter, job):
    returned.complained(letter)
    assert not returned.complained(letter)
    assert len(entries(job)) == 1


def test_a_letter_in_doubt_that_arrived_is_sent(letter):
    Letter.objects.filter(pk=letter.pk).update(state=Letter.State.AMBIGUOUS)
    returned.arrived(letter)
    letter.refresh_from_db()
    assert letter.state == Letter.State.SENT
    assert letter.arrived_at


@pytest.mark.parametrize("order", [("arrived", "came_back"), ("came_back", "arrived")], ids=" then ".join)
def test_arrival_and_return_end_alike_in_whatever_order_they_are_heard(letter, order):
    for news in order:
        if news == "arrived":
            returned.arrived(letter)
        else:
            returned.came_back(letter, BOUNCED, NO_SUCH_USER)
    letter.refresh_from_db()
    assert letter.state == Letter.State.RETURNED
    assert letter.arrived_at


def report(about, **more):
    told = {
        "letter": about.message_id,
        "action": "failed",
        "status": "5.1.1",
        "recipient": "orla@example.org",
        "said": "smtp; 550 no such user",
    }
    return Report(**{**told, **more})


def test_a_report_that_names_the_letter_and_its_recipient_counts(letter):
    assert returned.reported(report(letter)) == letter
    letter.refresh_from_db()
    assert letter.state == Letter.State.RETURNED


def test_a_report_about_another_recipient_is_not_believed(letter):
    assert returned.reported(report(letter, recipient="somebody@example.net")) is None
    letter.refresh_from_db()
    assert letter.state == Letter.State.SENT


def test_a_report_that_names_no_recipient_is_not_believed(letter):
    assert returned.reported(report(letter, recipient="")) is None
    letter.refresh_from_db()
    assert letter.state == Letter.State.SENT


def test_a_report_of_whoever_forwarded_it_counts_by_its_original_recipient(letter):
    forwarded = report(letter, recipient="orla@elsewhere.example", original="<Orla@Example.org>")
    assert returned.reported(forwarded) == letter
    letter.refresh_from_db()
    assert letter.state == Letter.State.RETURNED


def test_a_report_about_a_message_that_is_not_ours_is_nothing(letter):
    assert returned.reported(report(letter, letter="<x@example.net>")) is None


def test_a_report_of_delay_changes_nothing(letter):
    returned.reported(report(letter, action="delayed", status="4.4.1"))
    letter.refresh_from_db()
    assert letter.state == Letter.State.SENT


@pytest.mark.parametrize(
    ("said", "dead"),
    [
        ("550 5.1.1 user unknown", True),
        ("5.1.2 bad destination system address", True),
        ("550 5.2.1 mailbox disabled", True),
        ("550 No such user here", True),
        ("553 mailbox name not allowed", True),
        ("552 5.2.2 mailbox full", False),
        ("554 5.7.1 message refused", False),
        ("550 5.7.1 sender not allowed for this recipient", False),
        ("550 we do not like what you say", False),
        ("421 4.7.0 slow down", False),
        ("4.4.7 delivery time expired", False),
        ("", False),
    ],
)
def test_which_refusals_are_the_addresss_own_fault(said, dead):
    assert returned.is_about_the_address(said) is dead


def test_what_is_out_of_date_is_not_offered_again(cast, letter, job):
    returned.came_back(letter, BOUNCED, NO_SUCH_USER)
    assert returned.to_send_again(job) == [letter]
    cast.agree(job.quotes.open().get())
    assert returned.to_send_again(job) == []


def test_a_letter_whose_own_news_is_old_is_offered_again_for_what_it_carries(cast, letter, job):
    carried = Letter.objects.get(job=job, kind="booked")
    Letter.objects.filter(pk=carried.pk).update(state=Letter.State.CARRIED, carried_by=letter)
    returned.came_back(letter, BOUNCED, NO_SUCH_USER)
    cast.agree(job.quotes.open().get())
    assert returned.to_send_again(job) == [letter]


def test_an_address_that_somebody_knows_to_be_right_is_revived(letter):
    returned.came_back(letter, BOUNCED, NO_SUCH_USER)
    assert returned.revive("ORLA@example.org")
    assert not ways.is_dead(Way.EMAIL, "orla@example.org")
