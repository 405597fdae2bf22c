"""What Django reads is made from the `.po` files, whenever they are not those that it was made from."""

import gettext
from pathlib import Path

import pytest

from portal.words import compiling, files

HEAD = """msgid ""
msgstr ""
"Language: de\\n"
"Plural-Forms: nplurals=2; plural=(n != 1);\\n"
"Content-Type: text/plain; charset=utf-8\\n"

"""
DAYS = 'msgid "day"\nmsgid_plural "days"\nmsgstr[0] "%s"\nmsgstr[1] "%s"\n\n'


@pytest.fixture
def house(tmp_path: Path) -> Path:
    write(tmp_path, 'msgid "Hello"\nmsgstr "Hallo"\n')
    return tmp_path


def write(house: Path, words: str) -> None:
    for room in files.ROOMS:
        path = files.po_file(house, room, "de")
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(HEAD + words)


def spoken(house: Path, tongue: str = "de") -> gettext.NullTranslations:
    folder, *_others = compiling.compiled(house, house / "var" / "locale")
    with (Path(folder) / tongue / "LC_MESSAGES" / "django.mo").open("rb") as file:
        return gettext.GNUTranslations(file)


def test_a_fresh_clone_speaks(house: Path) -> None:
    assert spoken(house).gettext("Hello") == "Hallo"


def test_a_changed_file_is_spoken_at_the_next_start(house: Path) -> None:
    spoken(house)
    write(house, 'msgid "Hello"\nmsgstr "Guten Tag"\n')
    assert spoken(house).gettext("Hello") == "Guten Tag"


def test_a_file_put_back_with_its_old_date_is_spoken_too(house: Path) -> None:
    """As a restored backup or an unpacked release would: only what it says counts."""
    import os

    path = files.po_file(house, "jobs", "de")
    before = path.stat()
    spoken(house)
    write(house, 'msgid "Hello"\nmsgstr "Tag!!"\n')
    os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))
    assert spoken(house).gettext("Hello") == "Tag!!"


def test_nothing_is_written_again_where_nothing_changed(house: Path) -> None:
    spoken(house)
    before = {path: path.stat().st_ino for path in (house / "var").rglob("*.mo")}
    spoken(house)
    assert {path: path.stat().st_ino for path in (house / "var").rglob("*.mo")} == before


def test_what_was_cut_short_is_done_again(house: Path) -> None:
    spoken(house)
    (house / "var/locale/compiled-from").unlink()
    (house / "var/locale/jobs/de/LC_MESSAGES/django.mo").write_bytes(b"half")
    assert spoken(house).gettext("Hello") == "Hallo"


@pytest.mark.parametrize(
    "words", ['msgid "Hello"\nmsgstr ""\n', '#, fuzzy\nmsgid "Hello"\nmsgstr "Hola"\n', DAYS % ("", "")]
)
def test_what_is_not_translated_stays_english(house: Path, words: str) -> None:
    write(house, words)
    assert spoken(house).gettext("Hello") == "Hello"
    assert spoken(house).ngettext("day", "days", 2) == "days"


def test_plural_forms_are_spoken(house: Path) -> None:
    write(house, DAYS % ("Tag", "Tage"))
    assert [spoken(house).ngettext("day", "days", n) for n in (1, 2)] == ["Tag", "Tage"]


def test_english_texts_are_found_at_the_first_look(house: Path) -> None:
    """As they are written, translated or not; so that no look-up goes on to Django's own catalogues."""
    write(house, 'msgctxt "bench"\nmsgid "Hello"\nmsgstr "Hallo"\n\n' + DAYS % ("", ""))
    english = spoken(house, "en_GB")
    assert english.pgettext("bench", "Hello") == "Hello"
    assert [english.ngettext("day", "days", n) for n in (1, 2)] == ["day", "days"]
    assert english._catalog.keys() >= {"bench\x04Hello", ("day", 0), ("day", 1)}  # type: ignore[attr-defined]


def test_the_state_folder_is_for_our_eyes_only(house: Path) -> None:
    spoken(house)
    assert (house / "var").stat().st_mode & 0o077 == 0
