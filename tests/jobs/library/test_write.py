"""Writing an entry as a file's text, and reading it again."""

import pytest

from jobs.library import load, write
from jobs.library.explanation import Explanation
from tests.own_text import COUNTER, text

KEYS = list(load.entries())


def both(key: str) -> tuple[Explanation, Explanation]:
    """A shipped entry as its file has it, and the same written back."""
    text = (load.FOLDER / f"{key}.md").read_text(encoding="utf-8")
    return load.from_text(key, text), load.from_text(key, write.to_text(*write.read(text)))


def words(entry: Explanation) -> dict[str, list[str]]:
    return {key: written.markdown.split() for key, written in entry.written.items()}


@pytest.mark.parametrize("key", KEYS)
def test_every_shipped_entry_written_back_loads_to_an_equal_entry(key: str) -> None:
    entry, again = both(key)
    assert again.front == entry.front
    assert words(again) == words(entry)


@pytest.mark.parametrize("key", KEYS)
def test_unwrapping_changes_nothing_that_a_customer_reads(key: str) -> None:
    entry, again = both(key)
    assert again.sample().plain() == entry.sample().plain()


def test_paragraphs_are_joined_and_steps_stay_apart() -> None:
    told = "One line\n  and the next.\n\nA new one.\n\n1. First\n   goes on.\n2. Second.\n- a dot"
    assert (
        write.unwrapped(told)
        == "One line and the next.\n\nA new one.\n\n1. First goes on.\n2. Second.\n- a dot"
    )


def test_a_line_like_a_heading_stays_in_its_part() -> None:
    entry = load.from_text(COUNTER, text(happening="Before.\n\n## What we do about it\n\nAfter."))
    assert "## What we do about it" in entry.written["happening"].markdown
    assert "<h2" not in entry.sample().sections[0].html


def test_front_matter_marks_in_a_part_do_no_harm() -> None:
    entry = load.from_text(COUNTER, text(happening="Before.\n\n+++\n\nAfter.", title='A "+++" in it?'))
    assert "+++" in entry.written["happening"].markdown
    assert entry.title == 'A "+++" in it?'


def test_an_unfinished_text_can_be_kept_and_read_again() -> None:
    unfinished = write.to_text(
        {"title": "Half a thought", "minutes": {"low": "soon"}}, {"happening": "Something."}
    )
    assert write.read(unfinished) == (
        {"title": "Half a thought", "minutes": {"low": "soon"}},
        {"happening": "Something."},
    )


def test_empty_parts_are_left_out() -> None:
    assert "What cannot be undone" not in write.to_text({}, {"not_undone": "  ", "happening": "Something."})
