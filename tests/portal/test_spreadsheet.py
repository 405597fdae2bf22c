"""Files for spreadsheet programs: what must not become a formula, and what a reader gets back."""

import csv
from io import StringIO

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.spreadsheet import attachment, safe

TEXTS = st.text(st.characters(blacklist_categories=("Cs",)), max_size=30)


@pytest.mark.parametrize(
    "typed",
    [
        "=1+1",
        "+441632",
        "-2",
        "@SUM(A1)",
        "\t=1",
        "\r=1",
        "\n=1",
        "＝1",
        "＠x",
        "  =cmd|' /C calc'!A0",
        "\0=1",
    ],
)
def test_a_text_that_could_be_run_gets_a_quote_before_it(typed: str) -> None:
    assert safe(typed) == f"'{typed}".replace("\0", "")


@pytest.mark.parametrize("typed", ["Orla", "a=b", "3-4", "", "O'Hara", "'quoted'", "01632 960142"])
def test_other_texts_stay_as_they_are(typed: str) -> None:
    assert safe(typed) == typed


@given(TEXTS)
def test_no_cell_begins_like_a_formula_and_nothing_is_lost(typed: str) -> None:
    cell = safe(typed)
    assert not cell.lstrip(" ").startswith(tuple("=+-@\t\r\0"))
    assert cell.removeprefix("'") == typed.replace("\0", "") or cell == typed.replace("\0", "")


@given(st.lists(st.lists(TEXTS, min_size=2, max_size=2), max_size=5))
def test_a_reader_gets_back_what_was_written(rows: list[list[str]]) -> None:
    answer = attachment("x.csv", ["a", "b"], rows)
    text = answer.content.decode("utf-8-sig")
    assert list(csv.reader(StringIO(text, newline=""))) == [
        ["a", "b"],
        *[[safe(c) for c in row] for row in rows],
    ]


def test_it_begins_with_a_byte_order_mark_and_ends_lines_as_the_rfc_says() -> None:
    assert attachment("x.csv", ["a"], [[1]]).content == b"\xef\xbb\xbfa\r\n1\r\n"
