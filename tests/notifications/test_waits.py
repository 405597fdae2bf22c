"""How long a letter waits for its next try, and how long a way rests for everybody."""

from datetime import timedelta

import pytest
from django.utils import timezone

from notifications import waits
from notifications.channels.base import Trouble, Undelivered

LATER, SLOWER = Undelivered("451 later"), Undelivered("421 too many", Trouble.THROTTLED)


def waited(error: Undelivered, attempts: int) -> list[float]:
    """Fifty draws, in minutes."""
    return [waits.wait_for(error, attempts) / timedelta(minutes=1) for _ in range(50)]


@pytest.mark.parametrize(("attempts", "minutes"), [(1, 1), (2, 2), (5, 16), (9, 240), (60, 240)])
def test_the_wait_doubles_up_to_four_hours_a_quarter_more_or_less(attempts, minutes):
    drawn = waited(LATER, attempts)
    assert 0.75 * minutes <= min(drawn) < max(drawn) <= 1.25 * minutes


def test_a_server_that_wants_less_of_us_is_left_alone_for_longer():
    assert min(waited(SLOWER, 1)) >= 1.5


def test_nobody_comes_sooner_than_the_server_asked():
    assert min(waited(Undelivered("429", Trouble.THROTTLED, wait=900), 1)) >= 15


def test_what_a_server_asks_for_is_not_believed_without_end():
    assert max(waited(Undelivered("429", Trouble.THROTTLED, wait=1e9), 1)) <= 12 * 60


@pytest.mark.django_db
def test_a_way_whose_server_wants_less_of_us_rests_for_a_minute_or_so():
    assert waits.rest("email", SLOWER)
    now = timezone.now()
    assert waits.resting(now) == ["email"]
    assert waits.resting(now + timedelta(seconds=91)) == []


@pytest.mark.django_db
def test_a_way_that_cannot_be_reached_rests_for_a_moment():
    assert waits.rest("email", Undelivered("ConnectionRefusedError", way_is_shut=True))
    assert waits.resting(timezone.now() + timedelta(seconds=10)) == ["email"]


@pytest.mark.django_db
def test_what_is_about_one_letter_lets_no_way_rest():
    assert not waits.rest("email", LATER)
    assert waits.resting(timezone.now()) == []


@pytest.mark.django_db
def test_a_shorter_rest_does_not_end_a_longer_one():
    waits.rest("text", Undelivered("429", Trouble.THROTTLED, wait=600))
    waits.rest("text", Undelivered("ConnectionRefusedError", way_is_shut=True))
    assert waits.resting(timezone.now() + timedelta(minutes=9)) == ["text"]
