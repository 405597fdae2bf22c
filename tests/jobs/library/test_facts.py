"""Facts are checked before anything is shown: kind, unit, limits, and what is missing."""

import pytest

from jobs.library import BadFact, MissingFact, get

COUNTER = "counter/stops-at-one-number"
SLOW = "leaf_shutter/slow-speeds-drag"
SCREWS = {"count": 3, "torn": 60}


def test_a_missing_fact_names_its_field_by_its_label() -> None:
    with pytest.raises(MissingFact, match="The number at which winding stops") as caught:
        get(COUNTER).fill({"cover": "on"})
    assert caught.value.key == "frame"


def test_an_empty_answer_counts_as_missing() -> None:
    with pytest.raises(MissingFact):
        get(COUNTER).fill({"frame": "  ", "cover": "on"})


def test_a_default_stands_in_for_an_answer_not_given() -> None:
    assert get("focus/stiff-focus-ring").fill({}).facts == {"where": "whole", "came_apart": "no"}


@pytest.mark.parametrize("frame", [22, "22", " 22 "])
def test_a_number_may_be_typed_or_counted(frame: str | int) -> None:
    assert get(COUNTER).fill({"frame": frame, "cover": "on"}).facts["frame"] == 22


@pytest.mark.parametrize(
    "frame", [0, 37, "-1", "22.5", "twenty", "NaN", "Infinity", "1e1", "2_2", "٢٢", "²", "--3", ".", True]
)
def test_a_number_that_cannot_be_is_refused_with_its_limits(frame: str | int) -> None:
    with pytest.raises(BadFact, match="1 to 36"):
        get(COUNTER).fill({"frame": frame, "cover": "on"})


def test_a_decimal_is_kept_as_it_will_be_read() -> None:
    shown = get(SLOW).fill({"measured": "2", "spread": "even"})
    assert shown.facts["measured"] == "2.0"
    assert "took 2.0 seconds" in shown.short


def test_a_decimal_finer_than_the_field_is_refused() -> None:
    with pytest.raises(BadFact, match="no more than 1 decimal places"):
        get(SLOW).fill({"measured": "1.95", "spread": "even"})


def test_an_answer_that_is_not_offered_is_refused() -> None:
    with pytest.raises(BadFact, match="choose one of the answers"):
        get(SLOW).fill({"measured": "1.9", "spread": "perhaps"})


def test_a_fact_that_nobody_asked_for_is_refused() -> None:
    with pytest.raises(BadFact, match="colour"):
        get(SLOW).fill({"measured": "1.9", "spread": "even", "colour": "red"})


def test_a_text_that_is_too_long_is_refused() -> None:
    with pytest.raises(BadFact, match="60 characters"):
        get("body/screws-torn-by-earlier-hands").fill({**SCREWS, "where": "x" * 61})


@pytest.mark.parametrize(
    "words", ["on the base\nand below", "on the \u202ebase", "on the\x00 base", "a\u2028b"]
)
def test_a_text_with_hidden_characters_is_refused(words: str) -> None:
    with pytest.raises(BadFact, match="one line of plain text"):
        get("body/screws-torn-by-earlier-hands").fill({**SCREWS, "where": words})
