"""What the timeline says of money: exact, and no more than is known."""

from typing import Any

import pytest

from jobs import timeline_money as told

TRIED = {
    "came_out": "It wipes off.",
    "follow_on_title": "",
    "price": 0,
    "over_ceiling": False,
    "ceiling": None,
    "currency": "GBP",
}
DECIDED = {"agreed": True, "gross": 9700, "currency": "GBP", "way": "page"}


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ({"then": "nothing"}, "We tried it: it wipes off. It costs nothing more."),
        ({"then": "ends"}, "We tried it: it wipes off. We stop there, as agreed. It costs nothing more."),
        (
            {"then": "goes_on", "follow_on_title": "Fit a sound rear group", "price": 7800},
            "We tried it: it wipes off. We go on as you agreed: Fit a sound rear group, £78.",
        ),
        ({"then": "asks"}, "We tried it: it wipes off. We stop and ask you first."),
        (
            {"then": "asks", "over_ceiling": True, "ceiling": 29000},
            "We tried it: it wipes off. What comes next would pass your ceiling of £290, so we stop and ask you first.",
        ),
    ],
)
def test_a_try_says_what_came_out_and_what_follows(data: dict[str, Any], words: str) -> None:
    assert told.tried(TRIED | data) == words


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ({}, "You answered the quote and agreed to £97."),
        ({"highest": 9700, "ceiling": None}, "You answered the quote and agreed to £97."),
        (
            {"highest": 17500, "ceiling": None},
            "You answered the quote and agreed to £97, or up to £175 with what may follow.",
        ),
        (
            {"highest": 17500, "ceiling": 15000},
            "You answered the quote and agreed to £97, or up to £150 with what may follow.",
        ),
        ({"adds_to": 1}, "You agreed to one thing more, £97."),
        ({"adds_to": 1, "way": "telephone"}, "You agreed by telephone to one thing more, £97; we noted it."),
        ({"adds_to": 1, "agreed": False}, "You said no to one thing more; what is agreed goes on."),
        ({"agreed": False}, "You answered the quote: no work. It goes back as it is."),
    ],
)
def test_an_answer_says_what_it_comes_to_and_how_far_it_may_go(data: dict[str, Any], words: str) -> None:
    assert told.decided(DECIDED | data) == words


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ({"replaces": False}, "We sent you the quote."),
        ({"replaces": True}, "We sent you a new quote. It replaces the one before."),
        (
            {"replaces": False, "adds_to": 1},
            "We found something more and sent you a quote for it; what is agreed goes on.",
        ),
        (
            {"replaces": False, "adds_to": 1, "work_waits": True},
            "We found something more and sent you a quote for it. The work waits for your answer.",
        ),
    ],
)
def test_a_quote_says_whether_the_work_goes_on(data: dict[str, Any], words: str) -> None:
    assert told.quote_sent(data) == words


def test_money_that_came_and_went_is_told_with_its_sum() -> None:
    assert told.paid({"amount": 9700, "currency": "GBP"}) == "We have £97 from you. Thank you."
    assert told.refunded({"amount": 2050, "currency": "EUR"}) == "We gave you €20.50 back."


def test_a_final_price_is_told() -> None:
    data = {"title": "Free the gears.", "price": 4800, "currency": "GBP"}
    assert told.priced(data) == "We noted what it came to: Free the gears, £48."


def test_a_quote_for_one_thing_more_is_taken_back_without_stopping_the_work() -> None:
    assert told.quote_withdrawn({"adds": True}).endswith("what is agreed goes on.")
    assert told.quote_withdrawn({}) == "We took the quote back to look further."
