from datetime import date

import pytest

from jobs import library
from jobs.covering import Answer, Promise, Reason, rule
from jobs.noticing import (
    MOST_CHOICES,
    accident_choices,
    accident_in,
    choices,
    from_words,
    of_accident,
    pressed,
)

LEVER, HAZE, SPEED = "transport/lever-stops-half-way", "lens/haze-inside", "leaf_shutter/top-speed-slow"
LEAF = ["leaf_shutter", "film_135", "lever_advance", "fixed_lens"]
TODAY, LATER = date(2027, 3, 15), date(2027, 11, 2)
ENTRIES = library.entries()


def promise(pk: int, key: str, until: date | None = LATER, what: str = "It") -> Promise:
    mechanism, _, slug = key.partition("/")
    return Promise(
        pk, what, mechanism, until, "" if until else "We told you.", None, frozenset({key} if slug else ())
    )


def test_words_become_mechanisms_best_first_each_once() -> None:
    found = from_words("the lever is stuck half-way and will not wind", LEAF, ENTRIES).mechanisms
    assert found[0].mechanism == "transport"
    assert [each.score for each in found] == sorted((each.score for each in found), reverse=True)
    assert len({each.mechanism for each in found}) == len(found)


def test_words_are_like_the_explanations_of_their_best_mechanism_only() -> None:
    like = from_words("my photos look milky, as if through a veil", LEAF, ENTRIES).like
    assert HAZE in like
    assert all(key.startswith("lens/") for key in like)


def test_explanations_that_the_camera_rules_out_are_left_out() -> None:
    words = "slow speeds hang, one second takes far too long"
    assert not [
        each for each in from_words(words, LEAF, ENTRIES).mechanisms if each.mechanism == "focal_shutter"
    ]


@pytest.mark.parametrize("words", ["", "   ", "zzz qqq", "?!"])
def test_words_that_say_nothing_are_nothing(words: str) -> None:
    assert from_words(words, LEAF, ENTRIES).mechanisms == ()


@pytest.mark.parametrize(
    ("words", "accident"),
    [
        ("It fell off the table", Reason.FELL),
        ("My cat knocked it down the stairs", Reason.FELL),
        ("Tea was spilt over it", Reason.WET),
        ("There is sand in the rings", Reason.WET),
        ("It lay on the dashboard for a day", Reason.HEAT),
        ("I took it apart to see", Reason.OPENED),
        ("A friend has mended it in between", Reason.OPENED),
        ("I oiled it a little", Reason.OPENED),
    ],
)
def test_an_accident_is_heard(words: str, accident: Reason) -> None:
    assert accident_in(words) is accident


@pytest.mark.parametrize(
    "words",
    [
        "The lever slips again",
        "Since you had the top off it rattles",
        "I took the lens off and saw the mirror",
        "I unscrewed the cable release and it works",
        "I took the film out and it was blank",
        "Photos of the beach are milky",
        "The leaf blades have oil on them",
    ],
)
def test_what_is_no_accident_is_not_taken_for_one(words: str) -> None:
    assert accident_in(words) is None


def test_choices_are_what_the_promises_own_explanations_say_one_may_notice() -> None:
    found = choices([promise(1, LEVER), promise(2, HAZE)], LEAF, ENTRIES)
    assert [each.text for each in found if each.cover_pk == 1] == ENTRIES[LEVER].notice[:MOST_CHOICES]
    assert [each.text for each in found if each.cover_pk == 2] == ENTRIES[HAZE].notice[:MOST_CHOICES]


def test_two_promises_on_one_explanation_offer_its_sentences_once() -> None:
    found = choices([promise(1, LEVER), promise(2, LEVER)], LEAF, ENTRIES)
    assert len({each.text for each in found}) == len(found)


def test_each_of_several_explanations_speaks_in_turn() -> None:
    both = Promise(
        1, "Shutter", "leaf_shutter", LATER, explanations=frozenset({SPEED, "leaf_shutter/stays-open"})
    )
    first, second, *_ = choices([both], LEAF, ENTRIES, most=2)
    assert {first.text, second.text} == {
        ENTRIES["leaf_shutter/stays-open"].notice[0],
        ENTRIES[SPEED].notice[0],
    }


def test_a_promise_without_an_explanation_offers_its_mechanism_as_far_as_it_fits_the_camera() -> None:
    found = choices([promise(1, "leaf_shutter")], LEAF, ENTRIES)
    assert 1 <= len(found) <= MOST_CHOICES
    assert choices([promise(1, "focal_shutter")], LEAF, ENTRIES) == []


def test_a_thing_named_without_an_explanation_is_offered_under_its_own_name() -> None:
    (only,) = choices([promise(9, "body", None, "Dent in the top")], LEAF, ENTRIES)
    assert only.text == "Dent in the top"


def test_an_explanation_that_the_library_no_longer_has_takes_nothing_away() -> None:
    assert choices([promise(1, "transport/gone-since")], LEAF, ENTRIES)


@pytest.mark.parametrize(
    ("until", "kind"), [(LATER, Answer.YES), (date(2027, 2, 2), Answer.NO), (None, Answer.NO)]
)
@pytest.mark.parametrize("key", [LEVER, HAZE, SPEED, "body/tripod-bush-loose", "covering/lifting-or-shrunk"])
def test_every_sentence_that_is_pressed_is_answered_from_its_own_promise(
    key: str, until: date | None, kind: Answer
) -> None:
    made = [promise(4, key, until), promise(5, "seals/light-seals-gone")]
    offered = [each for each in choices(made, [], ENTRIES) if each.cover_pk == 4]
    assert offered
    for each in offered:
        noticed = pressed(each.key, offered)
        assert noticed is not None
        ruling = rule(made, noticed, TODAY)
        assert (ruling.kind, ruling.cover_pk) == (kind, 4)


def test_a_sentence_that_was_not_offered_cannot_be_pressed() -> None:
    assert pressed("4.lens/haze-inside.0", choices([promise(1, LEVER)], LEAF, ENTRIES)) is None


def test_keys_of_choices_are_all_different() -> None:
    offered = choices([promise(1, LEVER), promise(2, HAZE), promise(3, "leaf_shutter")], LEAF, ENTRIES)
    assert len({each.key for each in offered}) == len(offered)


def test_an_accident_can_be_pressed_too() -> None:
    for value in accident_choices():
        noticed = of_accident(value)
        assert noticed is not None
        assert rule([promise(1, LEVER)], noticed, TODAY).kind is Answer.LOOK
    assert of_accident("covered") is None
