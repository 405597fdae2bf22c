"""The relay: from the journal to letters, once each, whatever happens in between."""

import threading
from datetime import timedelta

import pytest
from celery.exceptions import SoftTimeLimitExceeded
from django.db import DataError, connection, transaction
from django.utils import timezone

from jobs import journal
from jobs.actions import booking, finding
from jobs.actions.contact import want_progress
from jobs.actor import HOUSE
from jobs.models import Entry, Kind
from notifications import contents, relay, writing
from notifications.models import Floor, Letter, Read
from tests.cast import make_cast
from tests.notifications.scenes import add_photo, letter_of, run


def killed(**_):
    raise SystemExit


def test_reading_the_journal_twice_writes_one_letter(cast):
    job = cast.book()
    relay.run()
    relay.run()
    assert Letter.objects.filter(job=job).count() == 1


def test_every_entry_is_marked_read_once_it_is_dealt_with(cast):
    cast.job_at("quoted")
    relay.run()
    assert not relay.unread().exists()
    assert Read.objects.count() == Entry.objects.count()


def test_an_entry_that_leads_to_no_letter_is_read_all_the_same(cast):
    job = cast.job_at("examining")
    relay.run()
    assert Read.objects.filter(entry__kind=Kind.EXAMINING, entry__job=job).exists()


def test_a_crash_in_the_middle_leaves_no_half_of_it(cast, monkeypatch):
    cast.book()
    monkeypatch.setattr(Read.objects, "create", killed)
    with pytest.raises(SystemExit):
        relay.run()
    assert not Letter.objects.exists()
    monkeypatch.undo()
    assert len(relay.run().waiting) == 1


def test_an_entry_that_cannot_be_dealt_with_stops_no_other(cast, monkeypatch, caplog):
    """Whatever is wrong with it: it stays unread, and a later run has it."""
    first, second, write = cast.book(), cast.another_book(), writing.write

    def one_is_broken(entry, plan):
        if entry.job_id == first.pk:
            raise KeyError("finding")
        return write(entry, plan)

    with monkeypatch.context() as broken:
        broken.setattr(writing, "write", one_is_broken)
        relay.run()
    assert not Letter.objects.filter(job=first).exists()
    assert letter_of(second, "booked")
    assert "could not be dealt with" in caplog.text
    relay.run()
    assert letter_of(first, "booked")


def test_the_end_of_a_tasks_time_is_no_fault_of_the_entry_that_it_hits(cast, monkeypatch):
    cast.book()

    def over(*_):
        raise SoftTimeLimitExceeded

    monkeypatch.setattr(writing, "write", over)
    with pytest.raises(SoftTimeLimitExceeded):
        relay.run()


def test_an_entry_with_a_lower_number_that_is_committed_later_is_not_lost(cast):
    """As on PostgreSQL, where numbers are drawn before the commit."""
    first, second = cast.book(), cast.another_book()
    late = Entry.objects.get(job=first)
    Read.objects.create(entry=Entry.objects.get(job=second))
    assert list(relay.unread()) == [late]


def test_the_floor_rises_only_past_entries_read_long_ago(cast):
    cast.job_at("arrived")
    relay.run()
    assert relay.raise_the_floor() == 0
    Read.objects.update(at=timezone.now() - timedelta(hours=2))
    assert relay.raise_the_floor() == Entry.objects.latest("pk").pk
    assert not Read.objects.exists()


def test_the_floor_stops_below_an_entry_that_nobody_has_read(cast):
    cast.job_at("arrived")
    first, second = Entry.objects.order_by("pk")[:2]
    Read.objects.create(entry=second, at=timezone.now() - timedelta(hours=2))
    assert relay.raise_the_floor() == first.pk - 1
    assert first in relay.unread()


def test_entries_below_the_floor_are_not_looked_at_again(cast):
    cast.book()
    Floor.objects.create(pk=1, up_to=Entry.objects.latest("pk").pk)
    assert relay.run().read == 0


def test_looking_for_unread_entries_takes_the_same_number_of_queries_for_any_number_of_read_ones(
    cast, django_assert_num_queries
):
    for _ in range(3):
        cast.job_at("quoted")
    while relay.run().read:
        pass
    with django_assert_num_queries(2):
        relay.run()


def test_nobody_to_tell_is_a_skipped_letter_that_says_why(cast):
    job = cast.book()
    job.customer.email = ""
    job.customer.save()
    relay.run()
    letter = letter_of(job, "booked")
    assert (letter.state, letter.why) == ("skipped", "There is no e-mail address to write to.")


def test_the_workshop_without_an_address_gets_no_letters_and_that_is_written_down(cast):
    cast.workshop.email = ""
    cast.workshop.save()
    job = cast.job_at("agreed")
    relay.run()
    assert letter_of(job, "staff_decided").state == "skipped"


def test_who_wants_no_progress_letters_gets_the_essential_ones_only(cast):
    job = cast.book()
    want_progress(job.customer, False)
    cast.job_at("quoted", job)
    relay.run()
    assert letter_of(job, "arrived").why == "The customer asked for no progress letters."
    assert letter_of(job, "quote_sent").state == "waiting"


def test_old_progress_is_no_longer_news(cast, time_machine):
    job = cast.job_at("arrived")
    time_machine.move_to(timezone.now() + timedelta(days=4))
    relay.run()
    assert letter_of(job, "arrived").why == "It is no longer news."
    assert letter_of(job, "booked").state == "waiting"


def test_findings_that_follow_a_letter_that_went_out_stand_on_the_page(cast):
    job = cast.job_at("examining")
    cast.post_finding(job, "A screw lay among the gears")
    run()
    Letter.objects.filter(job=job, kind="finding_posted").update(state="sent")
    cast.post_finding(job, "The covering has lifted")
    run()
    written = Letter.objects.filter(job=job, kind="finding_posted")
    assert [letter.state for letter in written] == ["sent", "skipped"]


def test_findings_that_follow_each_other_wait_for_one_letter(cast):
    job = cast.job_at("examining")
    for title in ("A screw lay among the gears", "The covering has lifted", "The seals are gone"):
        cast.post_finding(job, title)
        run()
    written = Letter.objects.filter(job=job, kind="finding_posted")
    assert [letter.state for letter in written] == ["waiting"] * 3


def test_only_letters_that_go_at_once_are_announced_to_the_workers(cast):
    cast.workshop.digest_minutes = 20
    cast.workshop.save()
    job = cast.job_at("arrived")
    assert relay.run().waiting == [letter_of(job, "booked").pk]


def test_a_quote_that_was_replaced_before_its_letter_was_written_is_not_sent(cast):
    job = cast.job_at("quoted")
    cast.send_quote(job)
    relay.run()
    letters = Letter.objects.filter(job=job, kind="quote_sent")
    assert [letter.state for letter in letters] == ["skipped", "waiting"]


def test_a_claim_writes_one_letter_to_the_customer_and_one_to_the_workshop(cast, every):
    claim = every["claim_opened"].job
    assert every["staff_claim"].job == claim.claim_on
    assert not Letter.objects.filter(job=claim, kind="booked").exists()


def test_a_letter_waits_for_the_photograph_that_belongs_into_it_but_not_for_ever(cast, time_machine):
    job = cast.job_at("examining")
    run()
    kept = finding.keep(
        job, finding.Draft("transport", "seen", "explains", "stops", "A screw lay among the gears")
    )
    add_photo(job, "finding", kept, state="processing")
    finding.post(kept, cast.technician)
    relay.run()
    assert not Letter.objects.filter(kind="finding_posted").exists()
    time_machine.move_to(timezone.now() + timedelta(seconds=61))
    relay.run()
    assert Letter.objects.filter(kind="finding_posted").exists()


def test_an_entry_that_the_database_refuses_stays_unread_and_holds_up_no_other(cast, monkeypatch):
    stuck, fine = cast.book(), cast.another_book()
    whole = writing.write

    def refusing(entry, plan):
        if entry.job_id == stuck.pk:
            raise DataError("value too long")
        return whole(entry, plan)

    monkeypatch.setattr(writing, "write", refusing)
    relay.run()
    assert list(relay.unread()) == list(stuck.entries.all())
    assert letter_of(fine, "booked").state == "waiting"


def test_a_letter_that_cannot_be_written_is_shown_as_failed_and_holds_up_no_other(cast, monkeypatch):
    broken, fine = cast.book(), cast.another_book()
    whole = contents.about
    monkeypatch.setattr(
        contents, "about", lambda kind, entry: 1 / 0 if entry.job == broken else whole(kind, entry)
    )
    relay.run()
    assert letter_of(broken, "booked").state == "failed"
    assert letter_of(broken, "booked") in Letter.objects.troubled()
    assert letter_of(fine, "booked").state == "waiting"


def test_the_letters_that_go_alone_are_one_thread_from_the_first_to_the_last(cast, every):
    job = every["warranty"].job
    alone = Letter.objects.to_customers().filter(job=job, urgent=True).exclude(state="skipped")
    letters = list(alone.order_by("pk"))
    assert len(letters) > 5
    root, *rest = [letter.message_id for letter in letters]
    for letter, before in zip(letters[1:], [root, *rest], strict=False):
        assert letter.references.split()[0] == root
        assert letter.references.split()[-1] == before


@pytest.mark.django_db(transaction=True)
def test_two_relays_at_once_write_one_letter_each():
    cast = make_cast()
    for number in range(6):
        cast.book(email=f"guest{number}@example.org")
    start = threading.Barrier(2)

    def relay_at_once() -> None:
        start.wait()
        try:
            relay.run()
        finally:
            connection.close()

    threads = [threading.Thread(target=relay_at_once) for _ in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert Letter.objects.count() == 6


@pytest.mark.django_db(transaction=True)
def test_an_entry_whose_transaction_is_rolled_back_leads_to_nothing():
    cast = make_cast()
    with pytest.raises(ZeroDivisionError), transaction.atomic():
        job = cast.book()
        journal.append(job, Kind.LINK_ASKED, HOUSE)
        raise ZeroDivisionError
    assert relay.run().read == 0


@pytest.mark.django_db(transaction=True)
def test_a_crash_between_commit_and_wake_loses_nothing(monkeypatch):
    """The waker is never called, as when the process is killed right after its commit."""
    cast = make_cast()
    monkeypatch.setattr(journal, "wakers", [])
    job = cast.book()
    relay.run()
    assert letter_of(job, "booked").state == "waiting"


@pytest.mark.django_db(transaction=True)
def test_the_relay_is_woken_after_the_commit_and_not_before(monkeypatch):
    cast = make_cast()
    seen: list[int] = []
    monkeypatch.setattr(journal, "wakers", [lambda: seen.append(Entry.objects.count())])
    with transaction.atomic():
        booking.book(booking.Booking("Ida Marsh", "ida@example.net", "Corvane", "Skerry", "It stopped."))
        assert seen == []
    assert seen == [1]
    assert cast
