"""What the office reads beside a letter that did not get through."""

import pytest
from django.utils import timezone

from notifications.models import Letter
from notifications.remedies import what_to_do

State, Trouble = Letter.State, Letter.Trouble


def advice(state: str, said: str = "", trouble: str = "", **more: object) -> str:
    told = {"text": "Dear Orla", "to_address": "orla@example.org", **more}
    return what_to_do(Letter(state=state, last_error=said, trouble=trouble, **told))


@pytest.mark.parametrize(
    ("said", "remedy"),
    [
        ("550 5.1.1 No such user here", "correct it"),
        ("550 nobody of that name here", "correct it"),
        ("552 5.2.2 Mailbox full", "mailbox is full"),
        ("552 5.3.4 Message too big", "too large"),
        ("554 5.7.1 Blocked for spam", "SPF"),
        ("550 not here", "check the address"),
        ("422 something that nobody has seen before", "Ring them"),
    ],
)
def test_each_refusal_for_good_comes_with_its_remedy(said, remedy):
    assert remedy in advice(State.FAILED, said, Trouble.PERMANENT)


@pytest.mark.parametrize(
    ("said", "remedy"),
    [
        ("535 5.7.8 Authentication failed", "user name and password"),
        ("The mailbox password cannot be read any more.", "user name and password"),
        ("ConnectionRefusedError: [Errno 111] Connection refused", "test letter"),
        ("451 come back later", "goes by itself"),
    ],
)
def test_a_letter_that_is_still_tried_says_what_would_help(said, remedy):
    assert remedy in advice(State.WAITING, said, Trouble.TEMPORARY)


def test_one_that_waits_because_we_are_too_fast_says_that_nothing_need_be_done():
    assert "It goes by itself" in advice(State.WAITING, "421 too many", Trouble.THROTTLED)


def test_one_that_was_given_up_no_longer_says_that_it_goes_by_itself():
    for trouble in (Trouble.THROTTLED, Trouble.TEMPORARY):
        given_up = advice(State.FAILED, "Given up after many tries: 421 too many", trouble)
        assert "by itself" not in given_up
        assert "Ring them" in given_up


def test_a_doubt_says_that_a_second_copy_does_no_harm():
    again = advice(State.AMBIGUOUS, trouble=Trouble.AMBIGUOUS, next_attempt_at=timezone.now())
    assert "once more by itself" in again
    assert "Ask them" in advice(State.AMBIGUOUS, trouble=Trouble.AMBIGUOUS)


def test_a_letter_that_was_never_written_or_has_nowhere_to_go_says_so():
    assert "could not be written" in advice(State.FAILED, "KeyError", text="")
    assert "no way" in advice(State.FAILED, to_address="")


@pytest.mark.parametrize("state", [State.SENT, State.SENDING, State.WAITING, State.SKIPPED, State.CARRIED])
def test_where_nothing_is_wrong_there_is_nothing_to_do(state):
    assert advice(state) == ""
