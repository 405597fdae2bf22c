"""The demo's letters: written on the days of its stories, counted as sent there, and only the newest really sent."""

from datetime import UTC, datetime, time

import pytest
from django.db import transaction
from django.utils import timezone

from jobs import journal
from jobs.actions import arriving
from jobs.demo.clock import standing_at
from jobs.models import Workshop
from notifications import history
from notifications.models import Letter
from tests.cast import make_cast
from tests.notifications.scenes import add_photo

pytestmark = pytest.mark.django_db(transaction=True)


def tell(days_ago: int, act) -> None:
    with history.told_as_it_happens() as read, standing_at(days_ago, 10):
        act()
        read()


def test_a_letter_of_the_past_counts_as_sent_on_its_day():
    cast = make_cast()
    tell(20, cast.book)
    history.settle()
    letter = Letter.objects.get()
    assert letter.state == "sent"
    assert (timezone.localdate() - timezone.localdate(letter.sent_at)).days == 20


def tell_of_an_arrival(cast, at: datetime) -> Letter:
    """A letter that can wait for the day, about what happened at this moment."""
    Workshop.objects.update(
        quiet_from=time(20), quiet_until=time(8), digest_minutes=1, work_days=list(range(7))
    )
    days_ago = (timezone.localdate() - at.date()).days
    with history.told_as_it_happens() as read, standing_at(days_ago, at.hour):
        arriving.receive(cast.book(), arriving.Parcel(condition="Clean.", lens=True), cast.technician)
        read()
    history.settle()
    return Letter.objects.get(kind="arrived")


def test_what_came_up_at_night_counts_as_sent_in_the_morning(time_machine):
    time_machine.move_to(datetime(2026, 11, 20, 12, tzinfo=UTC))
    letter = tell_of_an_arrival(make_cast(), datetime(2026, 11, 3, 23, tzinfo=UTC))
    assert (letter.state, letter.sent_at) == ("sent", datetime(2026, 11, 4, 8, tzinfo=UTC))


def test_at_night_the_letters_of_these_days_go_all_the_same(time_machine):
    time_machine.move_to(datetime(2026, 11, 20, 23, tzinfo=UTC))
    letter = tell_of_an_arrival(make_cast(), datetime(2026, 11, 20, 22, tzinfo=UTC))
    assert letter in Letter.objects.owed()


def test_a_text_of_these_days_keeps_its_own_time(time_machine):
    time_machine.move_to(datetime(2026, 11, 20, 23, tzinfo=UTC))
    cast = make_cast()
    tell(0, cast.book)
    morning = datetime(2026, 11, 21, 8, tzinfo=UTC)
    Letter.objects.update(channel="text", next_attempt_at=morning)
    history.settle()
    assert Letter.objects.get().next_attempt_at == morning


def test_it_is_so_even_when_the_whole_story_is_one_transaction():
    cast = make_cast()
    with transaction.atomic():
        tell(20, cast.book)
        history.settle()
    assert Letter.objects.get().state == "sent"


def test_a_letter_of_yesterday_is_still_to_be_sent():
    cast = make_cast()
    tell(1, cast.book)
    history.settle()
    assert Letter.objects.get() in Letter.objects.owed()


def test_what_was_written_before_its_photograph_was_developed_gets_it_afterwards():
    cast = make_cast()
    made = []
    tell(20, lambda: made.append(cast.job_at("arrived")))
    add_photo(made[0], "arrival")
    history.settle()
    assert "<img" in Letter.objects.get(kind="arrived").html


def test_afterwards_the_journal_wakes_whom_it_woke_before():
    before = journal.wakers[:]
    with pytest.raises(ZeroDivisionError), history.told_as_it_happens():
        raise ZeroDivisionError
    assert journal.wakers == before
