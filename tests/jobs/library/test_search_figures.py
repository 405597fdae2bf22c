"""The search is as good as we say. The phrases held apart chose nothing; they only judge."""

from jobs.library import entries
from tests.jobs.library import asked


def test_the_right_entry_stands_where_it_should() -> None:
    figures = asked.judge(asked.ours, asked.phrases("held_apart"))
    assert figures.phrases >= 100
    assert figures.reciprocal_rank >= 0.80
    assert figures.first_five >= 0.93


def test_checks_that_are_offered_are_mostly_right() -> None:
    made = asked.judge_offers(asked.phrases("held_apart"), entries())
    assert made.to >= 10
    assert made.precision >= 0.9, made.wrong


def test_every_phrase_names_entries_that_exist() -> None:
    named = {
        key for name in ("tuning", "held_apart") for phrase in asked.phrases(name) for key in phrase.right
    }
    assert named <= set(entries())


def test_no_phrase_is_in_both_sets_or_copied_from_an_entry() -> None:
    tuning, apart = (
        {phrase.text.lower() for phrase in asked.phrases(name)} for name in ("tuning", "held_apart")
    )
    told = {
        text.lower() for entry in entries().values() for text in (*entry.notice, *entry.front.bench_words)
    }
    assert not tuning & apart
    assert not (tuning | apart) & told
