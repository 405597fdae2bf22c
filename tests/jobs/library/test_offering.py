"""Which check is offered to somebody who tells what is wrong, before the camera is posted."""

from dataclasses import replace

import pytest

from jobs.library import Explanation, can_offer, entries, offers
from jobs.library.offering import MOST

BLANK = "the whole roll came back blank, the film is clear with only the edge numbers on it"


def checkable() -> Explanation:
    """The entry of a roll that was not caught, which has a check whatever its author does next."""
    entry = entries()["transport/film-not-caught"]
    check = entry.front.check or next(one.front.check for one in entries().values() if one.front.check)
    return replace(entry, front=entry.front.model_copy(update={"check": check, "bearing": "use"}))


def collection(**changed: object) -> dict[str, Explanation]:
    entry = checkable()
    return {**entries(), entry.key: replace(entry, front=entry.front.model_copy(update=changed))}


def test_a_story_that_a_check_answers_is_offered_it() -> None:
    assert offers(BLANK, [], collection())[0].key == "transport/film-not-caught"


def test_an_entry_without_a_check_is_never_offered() -> None:
    assert offers(BLANK, [], collection(check=None)) == []


def test_a_fault_is_never_offered_as_a_check() -> None:
    assert offers(BLANK, [], collection(bearing="explains")) == []


def test_an_entry_that_the_camera_rules_out_is_not_offered() -> None:
    entry = checkable()
    assert entry.key not in [one.key for one in offers(BLANK, ["film_120", "bellows"], collection())]
    assert entry.key in [one.key for one in offers(BLANK, ["film_135", "leaf_shutter"], collection())]


@pytest.mark.parametrize(
    "story",
    [
        "",
        "hello",
        "it does not work",
        "my film",
        "Please send me a price for an overhaul",
        "the lens has fungus in it",
    ],
)
def test_a_story_that_says_too_little_or_something_else_is_offered_nothing(story: str) -> None:
    assert offers(story) == []


def test_never_more_than_two_are_offered() -> None:
    assert all(
        len(offers(phrase)) <= MOST
        for entry in entries().values()
        for phrase in entry.notice
        if can_offer(entry)
    )


def test_what_is_offered_has_steps_and_says_what_it_means() -> None:
    found = offers(BLANK, [], collection())
    assert all(entry.front.check and entry.front.check.steps and entry.front.check.settled for entry in found)
