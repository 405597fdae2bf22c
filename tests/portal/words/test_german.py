"""The German that is there says no less than the English, and brings no markup of its own."""

import re
from collections import Counter
from pathlib import Path

import pytest
from babel.messages import Message
from django.conf import settings

from portal.words import files, finding

PLACEHOLDER = re.compile(r"%\(\w+\)[a-z]|(?<!%)%[sd]|\{\w*\}")
TAG = re.compile(r"</?\w[^>]*>|&\w+;")
WORDS = [
    (room, word)
    for room in files.ROOMS
    for word in files.words_of(files.read(files.po_file(settings.BASE_DIR, room, "de"), "de"))
    if any(word.string if isinstance(word.string, (list, tuple)) else [word.string])
]


def said(word: Message) -> list[str]:
    return list(word.string) if isinstance(word.string, (list, tuple)) else [word.string]


def asked(word: Message) -> list[str]:
    return list(word.id) if isinstance(word.id, (list, tuple)) else [word.id]


def wrong(found: list[tuple[str, Message]]) -> list[str]:
    return [f"{room}: {asked(word)[0]!r} -> {said(word)!r}" for room, word in found]


def test_some_german_is_there() -> None:
    assert WORDS


def test_no_placeholder_is_lost_or_invented() -> None:
    assert wrong([each for each in WORDS if loses(each[1])]) == []


def loses(word: Message) -> bool:
    """A form for one may leave the number out ("ein Tag"), every other says all that the English says, and none says more."""
    known = Counter(PLACEHOLDER.findall(asked(word)[-1]))
    *for_few, for_many = [Counter(PLACEHOLDER.findall(form)) for form in said(word)]
    return set(for_many) != set(known) or any(not set(form) <= set(known) for form in for_few)


def test_babel_finds_nothing_wrong_with_forms_and_formats() -> None:
    assert [each for each in WORDS if list(each[1].check())] == []


def test_nothing_is_fuzzy() -> None:
    assert wrong([each for each in WORDS if each[1].fuzzy]) == []


def test_every_plural_has_all_its_forms() -> None:
    assert wrong([(room, word) for room, word in WORDS if word.pluralizable and not all(said(word))]) == []


def test_no_markup_is_added_or_lost() -> None:
    assert wrong([(room, word) for room, word in WORDS if not same_markup(word)]) == []


def same_markup(word: Message) -> bool:
    tags = Counter(TAG.findall(asked(word)[-1]))
    return all(Counter(TAG.findall(form)) == tags for form in said(word))


# The item may be a camera (die), a lens (das) or a meter (der), and nobody tells us which.
GENDERED = re.compile(r"\b(?:Ihr(?:e[mnrs]?)?|d(?:er|ie|as|en|em|es)|eine?[mnrs]?) %\(item\)s", re.IGNORECASE)


def test_nothing_german_before_the_name_of_an_item_tells_its_gender() -> None:
    assert wrong([(room, word) for room, word in WORDS if any(map(GENDERED.search, said(word)))]) == []


@pytest.mark.parametrize("said_so", ["Ihre %(item)s ist da", "zu Ihrem %(item)s", "Der %(item)s ist fertig"])
def test_a_gender_would_be_found(said_so: str) -> None:
    assert GENDERED.search(said_so)


def test_a_text_begins_and_ends_with_a_new_line_where_the_english_does() -> None:
    def ends(text: str) -> tuple[bool, bool]:
        return text.startswith("\n"), text.endswith("\n")

    assert wrong([(r, w) for r, w in WORDS if any(ends(form) != ends(asked(w)[0]) for form in said(w))]) == []


@pytest.mark.parametrize(
    ("msgid", "msgstr"),
    [
        ("Hello %(name)s", "Hallo"),
        ("Hello", "Hallo %(name)s"),
        (("%(n)s day", "%(n)s days"), ("ein Tag", "Tage")),
    ],
)
def test_a_lost_placeholder_would_be_found(msgid: str, msgstr: str) -> None:
    assert loses(Message(msgid, msgstr))


def test_added_markup_would_be_found() -> None:
    assert not same_markup(Message("Hello", "<b>Hallo</b>"))


@pytest.mark.parametrize("tongue", files.TONGUES)
def test_the_files_hold_just_the_texts_of_the_sources(tongue: str) -> None:
    """If not: `make words`."""
    texts = finding.renewed(settings.BASE_DIR, tongue)
    assert [str(path) for path, text in texts.items() if path.read_text() != text] == []


def test_the_files_name_no_person_no_day_and_no_folder_of_a_machine() -> None:
    for room in files.ROOMS:
        text = Path(files.po_file(settings.BASE_DIR, room, "de")).read_text()
        head = text.partition("\n\n")[0]
        assert "Date" not in head
        assert "@" not in head
        assert str(settings.BASE_DIR) not in text
