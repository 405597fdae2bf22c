"""Answers to "is this covered?" are as good as we say. The phrases held apart set no limit; they only judge."""

import pytest

from jobs import library
from jobs.covering import Answer
from tests.jobs import covered


@pytest.mark.parametrize("name", ["tuning", "held_apart"])
def test_confident_answers_are_mostly_right(name: str) -> None:
    made = covered.judge(covered.phrases(name))
    assert made.answers[Answer.YES] >= 20
    assert made.answers[Answer.NO] >= 20
    assert made.precision(Answer.YES) >= 0.9, made.wrong
    assert made.precision(Answer.NO) >= 0.9, made.wrong


def test_more_than_half_of_what_could_be_answered_is() -> None:
    made = covered.judge(covered.phrases("held_apart"))
    assert made.right[Answer.YES] + made.right[Answer.NO] >= 0.5 * made.could


@pytest.mark.parametrize("name", ["tuning", "held_apart"])
def test_no_accident_gets_a_confident_answer(name: str) -> None:
    told = [phrase for phrase in covered.phrases(name) if phrase.accident]
    assert len(told) >= 4
    assert covered.judge(told).answers.keys() == {Answer.LOOK}


def test_what_cannot_be_told_from_its_words_gets_a_look() -> None:
    vague = [
        phrase for name in ("tuning", "held_apart") for phrase in covered.phrases(name) if not phrase.about
    ]
    assert len(vague) >= 6
    assert covered.judge(vague).answers.keys() == {Answer.LOOK}


def test_phrases_name_entries_that_exist_and_are_not_copied_from_them() -> None:
    tuning, apart = covered.phrases("tuning"), covered.phrases("held_apart")
    entries = library.entries()
    assert {key for phrase in (*tuning, *apart) for key in phrase.about} <= set(entries)
    told = {text.lower() for entry in entries.values() for text in entry.notice}
    texts = [phrase.text.lower() for phrase in (*tuning, *apart)]
    assert len(texts) == len(set(texts)) == 60
    assert not told & set(texts)
