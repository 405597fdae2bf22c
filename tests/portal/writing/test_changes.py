"""What changed between two texts: part by part, word by word."""

from portal.writing.changes import Piece, changes, pieces
from tests.own_text import text


def labels(before: str, after: str) -> list[str]:
    return [change.label for change in changes(before, after)]


def test_the_same_text_has_no_changes() -> None:
    assert changes(text(), text()) == []


def test_only_the_part_that_changed_is_told() -> None:
    assert labels(text(), text(short="Another sentence.")) == ["In short"]


def test_words_that_came_and_went_are_told_apart() -> None:
    assert pieces("The wheel sits wrong.", "The small wheel sits well.") == [
        Piece("", "The "),
        Piece("ins", "small "),
        Piece("", "wheel sits "),
        Piece("del", "wrong."),
        Piece("ins", "well."),
    ]


def test_the_last_word_does_not_change_by_what_comes_after_it() -> None:
    assert pieces("It stops.", "It stops. Now.") == [Piece("", "It stops. "), Piece("ins", "Now.")]


def test_where_a_line_breaks_is_no_change() -> None:
    assert changes(text(short="One two\nthree."), text(short="One two three.")) == []


def test_keys_are_told_in_words() -> None:
    (change,) = changes(text(certainty="seen"), text(certainty="inferred"))
    assert [piece.text for piece in change.pieces] == ["Seen", "Inferred"]


def test_against_nothing_all_is_new() -> None:
    assert {piece.how for change in changes("", text()) for piece in change.pieces} == {"ins"}


def test_a_text_that_cannot_be_read_is_shown_as_it_is() -> None:
    (change,) = changes("", "nothing like a file")
    assert change.pieces == [Piece("ins", "nothing like a file")]


def test_cautions_and_traits_are_called_by_their_names() -> None:
    told = changes(text(cautions=[], traits=[]), text(cautions=["never-open"], traits=["frame_counter"]))
    assert [piece.text for change in told for piece in change.pieces] == [
        "Please do not open the camera",
        "Frame counter",
    ]
