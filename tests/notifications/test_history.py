"""The demo's letters: written on the days of its stories, counted as sent there, and only the newest really sent."""

import pytest
from django.db import transaction
from django.utils import timezone

from jobs import journal
from jobs.demo.clock import standing_at
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
