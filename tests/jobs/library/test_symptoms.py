"""Hearing symptoms in a story: owners' words in, a few known keys out."""

import pytest
from pydantic import ValidationError

from jobs.library.symptoms import Symptom, sentences, symptoms, symptoms_of

HEARD = [
    (
        "I had the top off, and now the lever is slack and something rattles.",
        "lever-slack rattles was-opened",
    ),
    ("It stopped winding on half-way through my holiday.", "will-not-wind-on"),
    ("My whole film was blank when it came from the laboratory.", "film-blank"),
    ("The number beside the lever never goes back to the start", "counter-wrong"),
    ("With a flash only half of the picture is there", "flash-pictures-wrong"),
    ("There are orange streaks along the edge of the negatives.", "light-leaks"),
    ("The focusing ring is so stiff that I need both hands", "focus-stiff"),
    ("One second lasts for ever, the slow speeds hang", "shutter-slow"),
    ("I pressed the button and nothing happened. The button does not go down.", "release-dead"),
    ("The two images in the little window never meet", "rangefinder-off"),
    ("Looking through the glass I see fine threads, like a spider's web", "lens-cloudy"),
    ("The mirror stays up and the finder is black", "finder-dark"),
    ("It fell into a lake.", "got-wet"),
    ("The meter’s needle doesn’t move, and the battery is new", "meter-dead"),
    ("The foam round the door is sticky and crumbles", "seals-crumble"),
    ("My self-timer hangs", "self-timer-trouble"),
    ("There is a dark band down one side of every frame", "part-of-picture-dark"),
]


@pytest.mark.parametrize(("story", "keys"), HEARD)
def test_a_story_is_heard(story: str, keys: str) -> None:
    assert set(keys.split()) <= symptoms_of(story)


@pytest.mark.parametrize(
    "story",
    [
        "",
        "!!!",
        "I would like it looked over before my journey.",
        "It belonged to my father.",
        "Es ist kaputt.",
    ],
)
def test_a_story_that_tells_of_nothing_known_has_none(story: str) -> None:
    assert symptoms_of(story) == frozenset()


@pytest.mark.parametrize(
    ("story", "not_this"),
    [
        ("The rewind crank will not wind the film back", "will-not-wind-on"),
        ("The rewind button will not stay in", "release-dead"),
        ("The flash does not fire when I press the button", "release-dead"),
        ("A dark band crosses the viewfinder", "part-of-picture-dark"),
        ("A screw fell out of the base", "dropped"),
    ],
)
def test_what_only_sounds_alike_is_not_heard(story: str, not_this: str) -> None:
    assert not_this not in symptoms_of(story)


def test_words_of_two_sentences_are_not_put_together() -> None:
    assert "focus-stiff" not in symptoms_of("I love the focus. The door is stiff.")


def test_case_accents_and_apostrophes_do_not_count() -> None:
    assert symptoms_of("THE SHUTTER WON’T FIRE") == symptoms_of("the shutter won't fire") != frozenset()


def test_a_text_is_cut_into_sentences_of_bare_words() -> None:
    assert sentences("It’s stuck! At 1/30, café\nno light?") == ["its stuck", "at 1 30 cafe", "no light"]


def test_markup_in_a_story_is_only_words() -> None:
    assert symptoms_of("<b>The lever</b> is <i>slack</i>") == {"lever-slack"}


def test_the_vocabulary_is_small_and_each_symptom_can_be_told_apart() -> None:
    labels = [each.label for each in symptoms().values()]
    assert 30 <= len(labels) <= 45
    assert len(set(labels)) == len(labels)


@pytest.mark.parametrize("pattern", ["Lever", "lever (stuck)", "a  b", "*", "lever|", ""])
def test_a_pattern_that_is_not_bare_words_is_refused(pattern: str) -> None:
    with pytest.raises(ValidationError):
        Symptom(key="x", label="a thing", says=[pattern])
