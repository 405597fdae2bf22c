"""From a file's text into fields, and back: nothing is lost on the way."""

from decimal import Decimal

import pytest

from jobs.library import load
from portal.writing import sheet as sheets
from portal.writing.changes import changes
from portal.writing.sheet import Sheet, again, stored
from portal.writing.typed import MOST_ROWS, number, said
from tests.own_text import COUNTER, OWN, text
from tests.portal.writing.conftest import typed

KEYS = list(load.entries())


def file_of(key: str) -> str:
    return (load.FOLDER / f"{key}.md").read_text(encoding="utf-8")


def sheet_of(key: str) -> Sheet:
    return stored(key, 0, file_of(key))


def sent(**changed: object) -> Sheet:
    from django.http import QueryDict

    data = QueryDict(mutable=True)
    for name, value in typed(**changed).items():
        data.setlist(name, value if isinstance(value, list) else [str(value)])
    return sheets.sent(COUNTER, data)


@pytest.mark.parametrize("key", KEYS)
def test_every_shipped_entry_read_into_the_form_and_written_back_is_equal(key: str) -> None:
    words = file_of(key)
    entry, again = load.from_text(key, words), load.from_text(key, stored(key, 0, words).text())
    assert again.front == entry.front
    assert {name: part.markdown.split() for name, part in again.written.items()} == {
        name: part.markdown.split() for name, part in entry.written.items()
    }


@pytest.mark.parametrize("key", KEYS)
def test_every_shipped_entry_fits_the_form(key: str) -> None:
    assert sheet_of(key).problems == []


@pytest.mark.parametrize("key", KEYS)
def test_more_rows_lose_nothing(key: str) -> None:
    sheet = sheet_of(key)
    assert again(sheet).text() == sheet.text()


def test_more_rows_keep_the_note_and_the_base() -> None:
    sheet = again(sent(note="Shorter now", base="3"))
    assert (said(sheet.form, "note"), sheet.base) == ("Shorter now", 3)


def test_an_emptied_row_is_taken_out() -> None:
    sheet = sent(question__0__option__rows="0", **{f"question-0-{name}": "" for name in QUESTION})
    assert [one["key"] for one in sheet.front()["fields"]] == ["cover"]


QUESTION = ("key", "label", "kind", "example", "default", "unit", "low", "high", "places", "longest")


def test_a_new_outcome_gets_a_key_of_its_own() -> None:
    sheet = sent(**{
        "outcome-rows": "2",
        "outcome-0-text": "It runs again.", "outcome-0-weight": "9",
        "outcome-1-text": "It runs again.", "outcome-1-weight": "1",
    })  # fmt: skip
    assert [one["key"] for one in sheet.front()["outcomes"]] == ["it_runs_again", "it_runs_again_2"]


def test_the_example_of_a_choice_may_be_the_answer_itself() -> None:
    sheet = sent(**{
        "question-rows": "1", "question-0-key": "side", "question-0-label": "Which side?", "question-0-kind": "choice",
        "question-0-example": "On the left", "question-0-option-rows": "2",
        "question-0-option-0-text": "On the left", "question-0-option-1-text": "On the right",
    })  # fmt: skip
    field = sheet.front()["fields"][0]
    assert field["example"] == "on_the_left"
    assert [option["value"] for option in field["options"]] == ["on_the_left", "on_the_right"]


@pytest.mark.parametrize(
    ("typed_in", "kept"),
    [("22", 22), ("-3", -3), ("1.55", Decimal("1.55")), ("about 20", "about 20"), ("1e9", "1e9"), ("٣", "٣")],
)
def test_numbers_are_numbers_and_all_else_stays_as_typed(typed_in: str, kept: object) -> None:
    assert number(typed_in) == kept


@pytest.mark.parametrize("rows", ["-1", "many", "100000000", "٣", ""])
def test_nobody_can_ask_for_more_rows_than_a_page_has(rows: str) -> None:
    assert len(sent(**{"outcome-rows": rows}).outcomes) <= MOST_ROWS


def test_line_ends_of_a_browser_become_those_of_a_file() -> None:
    assert sent(happening="One.\r\n\r\nTwo.").parts()["happening"] == "One.\n\nTwo."


def test_a_text_of_our_own_is_read_too() -> None:
    assert said(stored(OWN, 4, text(title="Ours?")).form, "title") == "Ours?"


def test_what_is_ticked_keeps_its_order() -> None:
    front = sent(cautions=["never-open", "film-inside", "never-force"])
    boxes = [str(choice.data["value"]) for choice in front.form["cautions"]]
    assert boxes[:3] == ["never-open", "film-inside", "never-force"]
    assert front.front()["cautions"] == boxes[:3]


def test_a_sentence_typed_over_two_lines_is_one_line() -> None:
    assert sent(short="It stops,\r\n  and stays.").front()["short"] == "It stops, and stays."


def test_what_a_kind_of_answer_does_not_have_is_not_kept() -> None:
    field = sent(**{"question-1-low": "4", "question-1-unit": "mm"}).front()["fields"][1]
    assert field["kind"] == "choice"
    assert not {"low", "unit"} & set(field)


@pytest.mark.parametrize("key", KEYS)
def test_an_entry_saved_as_it_was_shows_no_change(key: str) -> None:
    """The form writes the keys of a table in an order of its own, and leaves out what says nothing."""
    words = file_of(key)
    assert changes(words, stored(key, 0, words).text()) == []
