"""The reading grade of an entry: what it counts, and what it leaves out."""

from jobs.library import get
from jobs.library.reading import grade, grade_of


def test_an_empty_text_has_no_grade() -> None:
    assert grade("") == 0
    assert grade(" \n ") == 0


def test_an_entry_is_graded_as_the_customer_reads_it() -> None:
    shown = get("lens/haze-inside").sample()
    read = "\n".join([shown.short, *(part.text for part in shown.sections)])
    assert grade_of(shown) == grade(read)
    assert "What is happening" not in read


def test_steps_and_ringed_figures_are_read_without_their_markup() -> None:
    parts = {part.key: part.text for part in get("transport/film-not-caught").sample().sections}
    assert "<" not in parts["what_you_can_do"]
    assert parts["what_you_can_do"].startswith("1. ")
    assert "(2)" in parts["happening"]
