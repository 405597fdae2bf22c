"""What a mail server's refusal means. The replies are those of common servers, shortened; from memory."""

import pytest

from notifications.channels.base import Trouble
from notifications.channels.replies import refusal


@pytest.mark.parametrize(
    "reply",
    [
        "421 4.7.0 Too many connections from your address",
        "421 service not available, closing transmission channel",
        "450 4.7.1 Rate limit exceeded",
        "451 4.7.650 The mail server is temporarily rate limited",
        "452 4.3.2 System not accepting messages now",
        "454 4.7.0 Too many login attempts",
        "450 4.4.5 Congestion",
        "450 you are sending too fast",
    ],
)
def test_a_server_that_asks_us_to_slow_down_is_understood(reply):
    assert kind(reply) == Trouble.THROTTLED


@pytest.mark.parametrize(
    "reply",
    [
        "450 4.2.0 Greylisted, see you in 300 seconds",
        "451 4.7.1 Greylisting in action, please come back later",
        "450 4.2.1 Mailbox busy",
        "452 4.2.2 Mailbox full",
        "451 come back later",
    ],
)
def test_a_no_for_now_about_one_letter_is_only_temporary(reply):
    assert kind(reply) == Trouble.TEMPORARY


@pytest.mark.parametrize("reply", ["550 5.1.1 No such user", "554 5.7.1 Too many recipients", "552 too big"])
def test_a_no_for_good_is_permanent_whatever_it_says(reply):
    assert kind(reply) == Trouble.PERMANENT


@pytest.mark.parametrize("reply", ["535 5.7.8 Authentication failed", "550 sender refused"])
def test_a_refusal_that_is_not_about_the_letter_is_never_permanent_and_shuts_the_way(reply):
    error = refusal(int(reply[:3]), reply[4:], about_the_letter=False)
    assert (error.kind, error.way_is_shut) == (Trouble.TEMPORARY, True)


@pytest.mark.parametrize(
    ("said", "seconds"), [("try again in 90 seconds", 90), ("wait 5 minutes", 300), ("4.7.0 slow down", None)]
)
def test_the_time_that_a_server_asks_for_is_read(said, seconds):
    assert refusal(421, said).wait == seconds


def kind(reply: str) -> Trouble:
    return refusal(int(reply[:3]), reply[4:]).kind
