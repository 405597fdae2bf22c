"""Finding an entry by the item's traits and by words."""

import pytest

from jobs import words
from jobs.library import entries, find, match, schema

RANGEFINDER = [
    "film_135",
    "lever_advance",
    "rewind_button",
    "leaf_shutter",
    "coupled_rangefinder",
    "fixed_lens",
]


def test_entries_that_fit_the_item_come_first() -> None:
    order = match(RANGEFINDER)
    fits = [entry.traits <= set(RANGEFINDER) for entry in order]
    assert fits == sorted(fits, reverse=True)
    assert len(order) == len(entries())


def test_a_particular_entry_comes_before_a_general_one() -> None:
    keys = [entry.key for entry in match(RANGEFINDER)]
    assert keys[0] == "rewind/button-will-not-stay-in"
    assert keys.index("leaf_shutter/slow-speeds-drag") < keys.index("lens/haze-inside")


@pytest.mark.parametrize(
    ("said", "key"),
    [
        ("the rewind button pops up again", "rewind/button-will-not-stay-in"),
        ("it locks at picture 22", "counter/stops-at-one-number"),
        ("glow around lamps, milky pictures", "lens/haze-inside"),
        ("focus ring stiff", "focus/stiff-focus-ring"),
        ("lumps under leather", "covering/bumps-under-the-covering"),
        ("dropped a washer inside", "body/spacer-fallen-in"),
        ("film came back blank", "transport/film-not-caught"),
    ],
)
def test_an_owners_words_find_the_entry(said: str, key: str) -> None:
    assert find(said)[0].key == key


def test_words_that_say_nothing_find_nothing() -> None:
    assert find("it is what it was") == []
    assert find("") == []


def test_the_library_uses_the_trades_own_words() -> None:
    for kind, ours in (
        (words.Mechanism, schema.Mechanism),
        (words.Trait, schema.Trait),
        (words.Certainty, schema.Certainty),
        (words.Bearing, schema.Bearing),
        (words.Effect, schema.Effect),
    ):
        assert set(kind.values) == set(ours.__args__)
