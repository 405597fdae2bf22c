"""What the office is told to do about a text or a notice."""

import pytest

from notifications.models import Letter
from notifications.remedies import what_to_do


@pytest.mark.parametrize(
    ("channel", "trouble", "attempts", "said"),
    [
        ("text", "permanent", 1, "check the number"),
        ("text", "throttled", 1, "when there is room again"),
        ("text", "temporary", 1, "It goes by itself"),
        ("text", "temporary", 4, "Try the gateway in the settings"),
        ("text", "ambiguous", 1, "It may have arrived."),
        ("push", "permanent", 1, "There is nothing to do."),
        ("text", "", 1, ""),
    ],
)
def test_each_trouble_has_its_remedy(channel, trouble, attempts, said):
    letter = Letter(
        channel=channel, trouble=trouble, attempts=attempts, state="waiting", text="x", to_address="+44"
    )
    assert said in what_to_do(letter)
    assert bool(what_to_do(letter)) == bool(said)
