from datetime import date, timedelta
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.covering import ACCIDENTS, LEAD, SURE, Answer, Heard, Noticed, Promise, Reason, Ruling, rule
from jobs.covering_words import rests_on, sentence
from jobs.warranty_terms import days_left
from jobs.words import Mechanism

TODAY = date(2027, 3, 15)
LEVER, HAZE, SPEED = "transport/lever-stops-half-way", "lens/haze-inside", "leaf_shutter/top-speed-slow"
WINDING = Promise(1, "Winding on", "transport", date(2027, 11, 2), explanations=frozenset({LEVER}))
CLEAR = Promise(2, "Clear lens", "lens", date(2027, 2, 2), explanations=frozenset({HAZE}))
TOP_SPEED = Promise(
    3, "Top speed, 1/500", "leaf_shutter", None, "We told you about this and it was left as it is.",
    explanations=frozenset({SPEED}),
)  # fmt: skip
PROMISES = [WINDING, CLEAR, TOP_SPEED]


def heard(key: str, score: float = 0.9, *others: Heard) -> Noticed:
    return Noticed((Heard(key.partition("/")[0], score), *others), frozenset({key}))


def answer(
    noticed: Noticed, promises: list[Promise] = PROMISES, today: date = TODAY
) -> tuple[str, str, int | None]:
    ruling = rule(promises, noticed, today)
    return ruling.kind.value, ruling.reason.value, ruling.cover_pk


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


def test_what_we_mended_and_still_cover_looks_covered() -> None:
    assert answer(heard(LEVER)) == ("yes", "covered", 1)


def test_a_cover_that_ended_looks_not_covered_and_names_its_day() -> None:
    ruling = rule(PROMISES, heard(HAZE), TODAY)
    assert (ruling.kind, ruling.day, ruling.cover_pk) == (Answer.NO, date(2027, 2, 2), 2)


def test_the_last_day_is_covered_and_the_next_is_not() -> None:
    assert rule(PROMISES, heard(LEVER), date(2027, 11, 2)).kind is Answer.YES
    assert rule(PROMISES, heard(LEVER), date(2027, 11, 3)).kind is Answer.NO


def test_what_arrived_before_its_reckoned_day_is_covered_all_the_same() -> None:
    soon = Promise(1, "Winding on", "transport", date(2028, 3, 17), "", date(2027, 3, 17), frozenset({LEVER}))
    assert answer(heard(LEVER), [soon]) == ("yes", "covered", 1)


def test_what_was_named_as_not_covered_looks_not_covered() -> None:
    assert answer(heard(SPEED)) == ("no", "named", 3)


def test_another_fault_of_a_part_that_we_named_is_never_a_flat_no() -> None:
    assert answer(heard("leaf_shutter/slow-speeds-drag")) == ("look", "another_fault", 3)


def test_another_fault_of_a_part_that_we_mended_needs_a_look() -> None:
    assert answer(heard("transport/film-chips-inside")) == ("look", "another_fault", 1)


def test_a_part_that_we_never_touched_needs_a_look() -> None:
    assert answer(heard("rangefinder/patch-does-not-move")) == ("look", "elsewhere", None)


def test_while_a_promise_names_no_mechanism_nobody_says_that_we_never_touched_it() -> None:
    unnamed = Promise(4, "Renew the light seals", "", date(2027, 11, 2))
    assert answer(heard("seals/light-seals-gone"), [WINDING, unnamed]) == ("look", "nothing_fits", None)


@pytest.mark.parametrize("accident", sorted(ACCIDENTS))
def test_an_accident_needs_a_look_whatever_else_was_said(accident: Reason) -> None:
    noticed = Noticed((Heard("transport", 1.0),), frozenset({LEVER}), accident, chosen=1)
    assert answer(noticed) == ("look", accident.value, None)


def test_words_like_an_accident_need_a_look() -> None:
    assert answer(heard("accident/of-our-own")) == ("look", "accident", None)


def test_a_matter_of_use_needs_a_look() -> None:
    assert answer(heard("handling/set-to-bulb")) == ("look", "in_use", None)


@pytest.mark.parametrize("noticed", [Noticed(), heard(LEVER, SURE - 0.01)])
def test_words_that_fit_nothing_need_a_look(noticed: Noticed) -> None:
    assert answer(noticed) == ("look", "nothing_fits", None)


def test_two_mechanisms_near_each_other_need_a_look() -> None:
    near, far = Heard("lens", 0.9 / LEAD + 0.01), Heard("lens", 0.9 / LEAD - 0.01)
    assert answer(heard(LEVER, 0.9, near)) == ("look", "unsure", None)
    assert answer(heard(LEVER, 0.9, far)) == ("yes", "covered", 1)


def test_two_covers_of_one_fault_that_both_run_promise_no_more_than_the_shorter() -> None:
    part = Promise(7, "New spring", "transport", date(2027, 5, 2), explanations=frozenset({LEVER}))
    ruling = rule([*PROMISES, part], heard(LEVER), TODAY)
    assert (ruling.kind, ruling.day, ruling.cover_pk) == (Answer.YES, date(2027, 5, 2), 7)


def test_two_covers_of_one_fault_that_both_ended_name_the_later_day() -> None:
    part = Promise(7, "New cell", "lens", date(2027, 1, 2), explanations=frozenset({HAZE}))
    assert rule([*PROMISES, part], heard(HAZE), TODAY).day == date(2027, 2, 2)


@pytest.mark.parametrize("until", [date(2027, 1, 2), None])
def test_where_one_cover_runs_and_another_does_not_we_must_see(until: date | None) -> None:
    other = Promise(7, "New spring", "transport", until, explanations=frozenset({LEVER}))
    assert answer(heard(LEVER), [WINDING, other]) == ("look", "mixed", 1)


def test_a_cover_of_no_written_fault_answers_for_its_mechanism() -> None:
    loose = Promise(5, "Overhaul of the winding", "transport", date(2027, 11, 2))
    assert answer(heard("transport/torn-film-holes"), [loose]) == ("yes", "covered", 5)


def test_a_thing_named_without_a_written_fault_is_told_of_but_no_flat_no() -> None:
    named = Promise(5, "Dent in the top", "body", None, "It was left as it is.")
    assert answer(heard("body/tripod-bush-loose"), [named]) == ("look", "told", 5)


def test_a_sentence_that_was_pressed_is_not_guessed_about() -> None:
    pressed = Noticed((Heard("body", 1.0),), frozenset(), chosen=5)
    named = Promise(5, "Dent in the top", "body", None, "It was left as it is.")
    assert answer(pressed, [named, WINDING]) == ("no", "named", 5)


def test_a_sentence_of_a_promise_that_is_not_there_needs_a_look() -> None:
    assert answer(Noticed((Heard("lens", 1.0),), chosen=99)) == ("look", "nothing_fits", None)


@pytest.mark.parametrize(
    ("noticed", "words", "rests"),
    [
        (heard(LEVER), "Yes. It is covered until 2 November.", "It sounds like this: Winding on."),
        (heard(HAZE), "Not any more. That cover ended on 2 February.", "It was for this: Clear lens."),
        (
            heard(SPEED),
            "No. We named that as not covered.",
            "Top speed, 1/500. We told you about this and it was left as it is.",
        ),
        (Noticed(accident=Reason.FELL), "We have to look. A fall is not covered, our work is.", ""),
        (
            heard("rangefinder/patch-does-not-move"),
            "We have to look. That does not sound like something we worked on.",
            "",
        ),
        (
            heard("transport/film-chips-inside"),
            "We have to look. We worked on that part, but this may be something else.",
            "What we did there: Winding on.",
        ),
        (
            heard("leaf_shutter/stays-open"),
            "We have to look. We worked on that part, but this may be something else.",
            "",
        ),
    ],
)
def test_answers_read_like_this(noticed: Noticed, words: str, rests: str) -> None:
    ruling = rule(PROMISES, noticed, TODAY)
    assert (plain(sentence(ruling, TODAY)), rests_on(ruling)) == (words, rests)


def test_another_year_is_said() -> None:
    ruling = rule(PROMISES, heard(LEVER), date(2026, 12, 1))
    assert plain(sentence(ruling, date(2026, 12, 1))) == "Yes. It is covered until 2 November 2027."


def test_no_line_ends_between_a_day_and_its_month() -> None:
    assert "2\u00a0November" in sentence(rule(PROMISES, heard(LEVER), TODAY), TODAY)


@pytest.mark.parametrize("reason", sorted(set(Reason) - {Reason.COVERED, Reason.ENDED, Reason.NAMED}))
def test_every_look_says_why(reason: Reason) -> None:
    told = sentence(Ruling(Answer.LOOK, reason), TODAY)
    assert told.startswith("We have to look. ")
    assert told.endswith(".")
    assert len(told.split()) <= 16


promises = st.lists(
    st.builds(
        Promise,
        pk=st.integers(min_value=1, max_value=50),
        what=st.just("It"),
        mechanism=st.sampled_from(["lens", "transport"]),
        until=st.none() | st.dates(min_value=TODAY - timedelta(400), max_value=TODAY + timedelta(400)),
        explanations=st.sets(st.sampled_from([LEVER, HAZE]), max_size=2).map(frozenset),
    ),
    unique_by=lambda each: each.pk,
)
scores = st.floats(min_value=0, max_value=1.2)
noticed = st.builds(
    lambda mechanisms, score, second, like, chosen: Noticed(
        tuple(Heard(each, worth) for each, worth in zip(mechanisms, sorted([score, second], reverse=True), strict=True)),
        frozenset(like),
        chosen=chosen,
    ),
    st.permutations(["lens", "transport", Mechanism.HANDLING.value]).map(lambda each: each[:2]),
    scores, scores, st.sets(st.sampled_from([LEVER, HAZE])), st.none() | st.integers(1, 50),
)  # fmt: skip


@given(promises, noticed, st.randoms(use_true_random=False))
def test_a_confident_answer_always_rests_on_a_promise_that_says_it(
    made: list[Promise], said: Noticed, random: Random
) -> None:
    ruling = rule(made, said, TODAY)
    if ruling.kind is Answer.YES:
        assert days_left(ruling.promise.until, TODAY) > 0  # type: ignore[union-attr, arg-type]
    if ruling.kind is Answer.NO:
        assert ruling.promise is not None
        assert ruling.promise.until is None or days_left(ruling.promise.until, TODAY) == 0
    shuffled = list(made)
    random.shuffle(shuffled)
    assert rule(shuffled, said, TODAY) == ruling
