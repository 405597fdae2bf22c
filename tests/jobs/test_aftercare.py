"""What goes home with a camera: which matters of use, which habits, in which order."""

import pytest

from jobs.aftercare import Aftercare, Matter, Told, aftercare
from jobs.library.explanation import Explanation
from tests import made_up


def entry(key: str, habit: str = "", traits: str = "") -> Explanation:
    return made_up.entry(key, habit=habit, traits=traits)


def library(*entries: Explanation) -> dict[str, Explanation]:
    return {each.key: each for each in entries}


def told(entry: Explanation, title: str = "The dial stood on B.") -> Told:
    return Told(title, entry.key, entry.sample().as_dict())


BULB = entry("handling/set-to-bulb", "Look at the dial before you start.")


def test_a_matter_of_use_comes_with_the_habit_of_its_entry() -> None:
    home = aftercare([told(BULB)], [], library(BULB))
    assert home.matters == (Matter("The dial stood on B", BULB.key, ("Look at the dial before you start.",)),)


def test_without_a_habit_it_comes_with_what_the_customer_was_shown_they_can_do() -> None:
    bare = entry("handling/set-to-bulb")
    home = aftercare([told(bare)], [], library(bare))
    assert home.matters[0].advice == ("Hold it level.", "Look at the dial.", "Turn it back.")


def test_what_was_shown_stands_when_the_library_no_longer_has_the_entry() -> None:
    home = aftercare([told(entry("handling/set-to-bulb"))], [], {})
    assert home.matters[0].advice[0] == "Hold it level."


def test_a_matter_in_our_own_words_has_no_advice_and_is_left_out() -> None:
    assert not aftercare([Told("It was held upside down", "", {})], [], library())


def test_habits_are_those_that_fit_the_camera() -> None:
    books = library(
        entry("seals/one", "Close the bellows.", "bellows"), entry("lens/one", "Cap the lens.", "reflex")
    )
    assert aftercare([], ["bellows", "folding"], books).habits == ("Close the bellows.",)


def test_the_more_particular_comes_before_the_general() -> None:
    books = library(
        entry("body/a", "For all."),
        entry("lens/b", "For two.", "reflex film_135"),
        entry("meter/c", "For one.", "reflex"),
    )
    assert aftercare([], ["reflex", "film_135"], books).habits == ("For two.", "For one.", "For all.")


def test_there_are_three_at_most_and_one_for_each_mechanism() -> None:
    keys = ["body/a", "body/b", "lens/a", "meter/a", "seals/a"]
    books = library(*(entry(key, f"Habit of {key}.") for key in keys))
    assert aftercare([], [], books).habits == (
        "Habit of body/a.",
        "Habit of lens/a.",
        "Habit of meter/a.",
    )


def test_a_mechanism_that_was_spoken_of_is_not_spoken_of_twice() -> None:
    books = library(BULB, entry("handling/other", "Another."), entry("lens/a", "Cap it."))
    assert aftercare([told(BULB)], [], books).habits == ("Cap it.",)


def test_the_order_of_the_library_does_not_matter() -> None:
    books = [entry(f"{name}/x", f"Habit of {name}.") for name in ("lens", "body", "meter", "focus")]
    assert aftercare([], [], library(*books)) == aftercare([], [], library(*reversed(books)))


def test_it_comes_back_from_the_journal_as_it_went_in() -> None:
    home = aftercare([told(BULB)], [], library(BULB, entry("lens/a", "Cap it.")))
    assert Aftercare.from_dict(home.as_dict()) == home


@pytest.mark.parametrize("part", [{"matters": (Matter("A", "b/c", ("d",)),)}, {"habits": ("d",)}])
def test_only_with_something_in_it_is_there_anything_to_say(part: dict) -> None:
    assert Aftercare(**part)
    assert not Aftercare()
