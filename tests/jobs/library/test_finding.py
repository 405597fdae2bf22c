"""Finding an entry by the item's traits and by words."""

from dataclasses import replace

import pytest

from jobs import words
from jobs.library import entries, find, match, rank, schema

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


@pytest.mark.parametrize(
    ("said", "key"),
    [
        ("rewnd buton pops up", "rewind/button-will-not-stay-in"),
        ("hazze in the lense", "lens/haze-inside"),
        ("stff focuss ring", "focus/stiff-focus-ring"),
        ("covring has lumpps undr the lether", "covering/bumps-under-the-covering"),
    ],
)
def test_misspelt_words_find_the_entry_all_the_same(said: str, key: str) -> None:
    assert key in [entry.key for entry in find(said)[:3]]


def test_words_of_the_bench_find_the_entry() -> None:
    for entry in entries().values():
        for said in entry.front.bench_words[:1]:
            assert entry in find(said)[:10], (said, entry.key)


def test_an_entry_that_fits_the_item_is_preferred_and_none_is_hidden() -> None:
    said = "the shutter is slow"
    leaf, any_camera = rank(said, ["leaf_shutter"]), rank(said)
    score = {hit.entry.key: hit.score for hit in any_camera}
    assert {hit.entry.key for hit in leaf} == set(score)
    assert all(
        hit.score == score[hit.entry.key]
        if hit.entry.traits <= {"leaf_shutter"}
        else hit.score < score[hit.entry.key]
        for hit in leaf
    )


def test_hits_come_best_first() -> None:
    scores = [hit.score for hit in rank("milky glow around lamps")]
    assert scores == sorted(scores, reverse=True)
    assert 0 < scores[0] < 1.5


def test_another_collection_can_be_searched_and_a_changed_entry_is_found_by_its_new_words() -> None:
    whole = entries()
    entry = whole["lens/haze-inside"]
    reworded = replace(
        entry, front=entry.front.model_copy(update={"notice": ["A marmalade veil lies over the orchestra"]})
    )
    mine = {**whole, "lens/haze-inside": reworded}
    assert find("marmalade orchestra", among=mine) == [reworded]
    assert find("marmalade orchestra", among=whole) == []
    assert reworded not in find("marmalade orchestra", among={"lens/haze-inside": entry})


def test_an_empty_collection_has_no_answer() -> None:
    assert find("haze in the lens", among={}) == []


def test_the_library_uses_the_trades_own_words() -> None:
    for kind, ours in (
        (words.Mechanism, schema.Mechanism),
        (words.Trait, schema.Trait),
        (words.Certainty, schema.Certainty),
        (words.Bearing, schema.Bearing),
        (words.Effect, schema.Effect),
    ):
        assert set(kind.values) == set(ours.__args__)
