"""The check of the library: the shipped one is clean, and each fault is named with file and line."""

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from jobs.library import LibraryError
from jobs.library.check import check
from jobs.library.load import FOLDER, files, load
from jobs.library.safety import unsafe_verbs
from jobs.library.table import table

SOUND = FOLDER / "counter" / "stops-at-one-number.md"
Broken = Callable[[str, str], tuple[Path, list[str]]]


def test_the_shipped_library_is_clean() -> None:
    assert [str(problem) for problem in check()] == []


@pytest.fixture
def broken(tmp_path: Path) -> Broken:
    """Copies a sound entry with one text replaced, and gives its path and the messages with their lines."""

    def make(old: str, new: str) -> tuple[Path, list[str]]:
        path = tmp_path / "counter" / "entry.md"
        path.parent.mkdir(exist_ok=True)
        text = SOUND.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new, 1), encoding="utf-8")
        return path, [f"{problem.line}: {problem.message}" for problem in check(tmp_path)]

    return make


def _line(path: Path, text: str) -> int:
    return next(n for n, line in enumerate(path.read_text().split("\n"), start=1) if text in line)


def test_an_unchanged_copy_is_clean(broken: Broken) -> None:
    assert broken("+++", "+++")[1] == []


@pytest.mark.parametrize(
    ("old", "new", "at", "message"),
    [
        ("## How we know", "## How we guess", "## How we guess", "there is no part called 'How we guess'"),
        ('effect = "stops"', 'effect = "stops"\ncolour = "red"', "colour", "colour: there is no such key"),
        ('traits = ["frame_counter"]', 'traits = ["wings"]', "traits", "traits.0: Input should be"),
        ("low = 1\n", 'low = "one"\n', 'low = "one"', "low"),
        ("minutes = { low = 40", "minutes = { low = 400", "minutes", "minutes must run low, likely, high"),
        ('certainty = "seen"', 'certainty = "sure"', "certainty", "certainty: Input should be"),
        ('title = "Why', "title = Why", "title = Why", "not valid TOML"),
        ("At\n{frame}", "At\n{frames}", "stands an end", "uses a field {frames}"),
        ("{mark:3}", "{mark:4}", "{mark:4}", "points to mark 4"),
        (
            "3. Write down",
            "3. Unscrew the cover and write down",
            "3. Unscrew",
            "unsafe verb in an owner's step: 'Unscrew'",
        ),
        (
            "Write down the number",
            "Write down the number of the mercury cell",
            "mercury",
            "name 'mercury-cell'",
        ),
        (
            "The film itself is free.",
            "The film itself is free of the pawl.",
            "pawl",
            "'pawl' is not in the glossary",
        ),
        ('"never-open"]', '"never-fly"]', "cautions", "there is no caution called 'never-fly'"),
        ('name = "frame-counter"', 'name = "frame-counting"', "[drawing]", "there is no drawing called"),
        (
            '"the catch that it meets too early"',
            "",
            "[drawing]",
            "the drawing shows 3 marks, its legend names 2",
        ),
    ],
)
def test_a_fault_is_named_with_its_line(broken: Broken, old: str, new: str, at: str, message: str) -> None:
    path, told = broken(old, new)
    at = "{frames}" if "{frames}" in new else at
    hits = [line for line in told if message in line]
    assert hits, told
    assert abs(int(hits[0].split(":")[0]) - _line(path, at)) <= 2


def test_a_missing_part_is_named(broken: Broken) -> None:
    _, told = broken("## How we know\n", "")
    assert any("the part 'How we know' is missing" in line for line in told)


def test_a_sentence_of_more_than_thirty_words_is_named(broken: Broken) -> None:
    _, told = broken("It may have been many years ago.", "It " + "may " * 30 + "be so.")
    assert any("a sentence of 33 words" in line for line in told)


def test_a_field_that_is_never_used_is_named(broken: Broken) -> None:
    _, told = broken('key = "cover"', 'key = "lid"')
    assert any("the field 'lid' is never used" in line for line in told)


def test_limits_that_the_drawing_cannot_show_are_named(broken: Broken) -> None:
    _, told = broken("high = 36", "high = 72")
    assert any("the drawing cannot be made with" in line for line in told)


def test_two_entries_may_not_share_what_an_owner_notices(broken: Broken, tmp_path: Path) -> None:
    broken("+++", "+++")
    (tmp_path / "counter" / "other.md").write_text(SOUND.read_text(encoding="utf-8"), encoding="utf-8")
    assert any("is also what counter/entry" in problem.message for problem in check(tmp_path))


def test_an_unknown_mechanism_is_named(tmp_path: Path) -> None:
    path = tmp_path / "engine" / "entry.md"
    path.parent.mkdir()
    path.write_text(SOUND.read_text(encoding="utf-8"), encoding="utf-8")
    assert any("'engine' is not a mechanism" in problem.message for problem in check(tmp_path))


@pytest.mark.parametrize("text", ["", "+++\ntitle = 1\n", "no front matter", "+++\n+++\n"])
def test_a_file_that_is_no_entry_raises_an_error_with_its_name(tmp_path: Path, text: str) -> None:
    path = tmp_path / "entry.md"
    path.write_text(text)
    with pytest.raises(LibraryError, match=r"entry\.md:\d+: "):
        load(path)


@pytest.mark.parametrize(
    ("sentence", "found"),
    [
        ("Do not oil it.", []),
        ("Never force the lever, and do not shake the camera.", []),
        ("If it does not move, force it.", ["force"]),
        ("Warm the lens with a hairdryer.", ["Warm"]),
        ("Open the base.", ["Open"]),
        ("With no film inside, open the film door.", []),
    ],
)
def test_a_verb_is_let_off_only_where_it_is_forbidden(sentence: str, found: list[str]) -> None:
    assert unsafe_verbs(sentence) == found


def test_a_text_that_is_too_hard_to_read_is_named_with_its_grade(broken: Broken) -> None:
    hard = (
        "Notwithstanding considerable mechanical deterioration, comprehensive disassembly necessitates meticulous recalibration. "
        * 9
    )
    path, found = broken("## How we know\n", f"## How we know\n\n{hard}\n")
    assert any(f"{_line(path, '## What is happening')}: reading grade" in message for message in found)


def test_an_entry_that_the_bench_cannot_find_by_its_own_words_is_named(tmp_path: Path) -> None:
    path = tmp_path / "counter" / "entry.md"
    path.parent.mkdir()
    text = SOUND.read_text(encoding="utf-8")
    path.write_text(re.sub(r"^bench_words = \[.*?\]\n", "", text, flags=re.MULTILINE | re.DOTALL))
    assert any("bench_words" in problem.message for problem in check(tmp_path))


def test_a_check_at_home_may_only_stand_with_a_matter_of_use(broken: Broken) -> None:
    told = '[check]\nask = "Is it home?"\nsteps = ["Look at it."]\nsettled = "Then all is well."\n\n[drawing]'
    _, found = broken("[drawing]", told)
    assert any("only a matter of use may offer a check" in message for message in found)


def test_a_check_at_home_never_asks_for_anything_unsafe(broken: Broken) -> None:
    told = '[check]\nask = "Is it home?"\nsteps = ["Take off the top cover."]\nsettled = "Then all is well."\n\n[drawing]'
    path, found = broken("[drawing]", told)
    assert f"{_line(path, 'steps =')}: an unsafe verb in an owner's step: 'Take off'" in found


def test_a_habit_never_asks_for_anything_unsafe(broken: Broken) -> None:
    path, found = broken('certainty = "seen"', 'certainty = "seen"\nhabit = "Oil the lever once a year."')
    assert f"{_line(path, 'habit =')}: an unsafe verb in an owner's step: 'Oil'" in found


def test_the_table_counts_the_collection_and_gives_its_grades() -> None:
    rows = table([load(SOUND)]).split("\n")
    assert rows[0].startswith("| mechanism | entries | drawings | matters of use")
    assert rows[2].startswith("| counter | 1 | 1 | 0 | 0 | 0 | 0 | ")
    assert len(rows) == 4


def test_the_map_shows_the_collection_as_it_is() -> None:
    """DEVELOPERS.md carries the table that `make check-library` prints."""
    every = [load(path) for path in files(FOLDER)]
    map_ = (FOLDER.parents[1] / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert table(every) in map_, "put the table of `make check-library` into DEVELOPERS.md"
