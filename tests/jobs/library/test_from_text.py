"""An entry whose text is kept elsewhere than in a file: the same loader, the same problems."""

import pytest

from jobs.library import LibraryError, get, load
from jobs.library.check import of_entry
from tests.own_text import COUNTER, OWN, own_text, text


def test_text_and_file_give_the_same_entry() -> None:
    path = load.FOLDER / f"{COUNTER}.md"
    assert load.from_text(COUNTER, path.read_text(encoding="utf-8")) == load.load(path)


def test_a_key_of_our_own_becomes_the_entrys_key() -> None:
    entry = load.from_text(OWN, own_text())
    assert (entry.key, entry.mechanism, entry.slug) == (OWN, "counter", "skips-a-number")


def test_problems_name_the_line_of_the_text() -> None:
    with pytest.raises(LibraryError, match=r"our-own\.md:2: title"):
        load.from_text("lens/our-own", "+++\ntitle = 3\n+++\n")


def test_text_without_its_marks_is_refused() -> None:
    with pytest.raises(LibraryError, match=r"\+\+\+"):
        load.from_text(COUNTER, "just words")


def test_one_entry_can_be_checked_by_itself() -> None:
    assert of_entry(load.from_text(OWN, own_text())) == []


def test_a_phrase_that_another_entry_has_is_told() -> None:
    problems = of_entry(load.from_text(OWN, text(bench_words=["counter"])), [get(COUNTER)])
    assert {problem.path.stem for problem in problems} == {"skips-a-number"}
    assert f"is also what {COUNTER}" in problems[0].message


def test_an_entry_is_not_compared_with_its_own_older_text() -> None:
    changed = load.from_text(COUNTER, text(bench_words=["counter"]))
    assert of_entry(changed, [get(COUNTER)]) == []
