"""Plain text as a person would type it."""

from hypothesis import given
from hypothesis import strategies as st

from notifications.plaintext import COLUMNS, quoted, row, tidy

words = st.lists(st.text("abcdefghij", min_size=1, max_size=12), min_size=1, max_size=60)


def test_the_lines_of_a_paragraph_are_filled_and_paragraphs_stay_apart():
    assert tidy("One\ntwo.\n\n\n\nThree.\n") == "One two.\n\nThree.\n"


def test_a_long_address_is_never_broken():
    address = "https://repairs.example.org/open/" + "k" * 90
    assert address in tidy(f"Open your page:\n{address}\nThen read.").splitlines()


def test_lines_with_a_bar_keep_their_ends_and_lose_the_bar():
    assert tidy("| Hester Quill\n| Saltmere\n") == "Hester Quill\nSaltmere\n"


def test_a_list_is_hung():
    lines = tidy("- " + "word " * 30).splitlines()
    assert lines[0].startswith("- word")
    assert all(line.startswith("  word") for line in lines[1:])


def test_a_sum_stands_at_the_right_and_a_long_title_goes_on_below():
    lines = row(
        "Free the winding gears and clean the whole of the film transport, both sides", "£85"
    ).splitlines()
    assert len(lines) == 2
    assert lines[-1].endswith("£85")
    assert {len(line) for line in lines if line.endswith("£85")} == {COLUMNS}


@given(words)
def test_no_word_is_lost_and_no_line_is_too_long(given_words):
    out = tidy(" ".join(given_words))
    assert out.split() == given_words
    assert all(len(line) <= COLUMNS for line in out.splitlines())


@given(st.text("ab >|-\n", max_size=80))
def test_what_somebody_wrote_is_marked_as_theirs_on_every_line(text):
    assert all(line.startswith(">") for line in quoted(text).splitlines())
