"""Checking the whole library: `python -m jobs.library.check`. Names file and line of everything to mend."""

import re
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import get_args

from django.conf import settings

from . import drawn, load, reading, safety, shared
from .errors import FactError, LibraryError, Problem
from .explanation import Explanation
from .prose import PLACE
from .schema import ChoiceField, Mechanism
from .table import table
from .texts import front_line, sentences, texts

LONGEST_SENTENCE = 30


def check(folder: Path = load.FOLDER) -> list[Problem]:
    """Every problem of the library in a folder, sorted by file and line. Empty means clean."""
    found, problems = _load_all(folder)
    problems += _shared_files()
    if any(problem.path in (shared.CAUTIONS_FILE, shared.GLOSSARY_FILE) for problem in problems):
        return sorted(problems)
    for entry in found:
        problems += of_entry(entry)
    return sorted(problems + list(_twice(found)) + drawn.drawings())


def of_entry(entry: Explanation, others: Iterable[Explanation] = ()) -> list[Problem]:
    """Every problem of one entry that could be read, and what it says again that one of the `others` says already."""
    problems = [problem for one_check in _CHECKS for problem in one_check(entry)]
    rest = [other for other in others if other.key != entry.key]
    return problems + [problem for problem in _twice([*rest, entry]) if problem.path == entry.path]


def _load_all(folder: Path) -> tuple[list[Explanation], list[Problem]]:
    found, problems = [], []
    for path in load.files(folder):
        try:
            found.append(load.load(path))
        except LibraryError as error:
            problems += error.problems
    return found, problems


def _shared_files() -> list[Problem]:
    try:
        shared.cautions()
        shared.glossary()
    except LibraryError as error:
        return error.problems
    return []


def _mechanism(entry: Explanation) -> Iterator[Problem]:
    if entry.mechanism not in get_args(Mechanism):
        yield Problem(entry.path, 1, f"the folder {entry.mechanism!r} is not a mechanism")


def _long_sentences(entry: Explanation) -> Iterator[Problem]:
    for line, text in texts(entry):
        for sentence in sentences(PLACE.sub("x", text)):
            length = len(sentence.split())
            if length > LONGEST_SENTENCE:
                yield Problem(
                    entry.path, line, f"a sentence of {length} words: '{' '.join(sentence.split()[:6])} ...'"
                )


def _places(entry: Explanation) -> Iterator[Problem]:
    known = {field.key for field in entry.fields} | {f"{key}.also" for key in _with_also(entry)}
    marks = len(entry.front.drawing.legend) if entry.front.drawing else 0
    used = set()
    for line, text in texts(entry):
        for name in PLACE.findall(text):
            used.add(name)
            if name.startswith("mark:"):
                if int(name[5:]) > marks:
                    yield Problem(
                        entry.path,
                        line,
                        f"the text points to mark {name[5:]}, which the legend does not have",
                    )
            elif name not in known:
                yield Problem(entry.path, line, f"the text uses a field {{{name}}} that is not asked for")
        if re.search(r"[{}]", PLACE.sub("", text)):
            yield Problem(
                entry.path, line, "a stray brace, or a place that is not written {field} or {mark:1}"
            )
    yield from _unused(entry, used)


def _before_any_fact(entry: Explanation) -> Iterator[Problem]:
    """What is read before anything is known of a camera, or after all is done, has no place for its facts."""
    front = entry.front
    for name, pieces in (("title", [front.title]), ("notice", front.notice), ("habit", [front.habit or ""])):
        if places := [place.group() for text in pieces for place in PLACE.finditer(text)]:
            yield Problem(
                entry.path,
                front_line(entry, name),
                f"{places[0]} cannot stand here: no camera's facts are put in",
            )


def _with_also(entry: Explanation) -> list[str]:
    """Choices whose every answer has its second text."""
    choices = [field for field in entry.fields if isinstance(field, ChoiceField)]
    return [field.key for field in choices if all(option.also for option in field.options)]


def _unused(entry: Explanation, used: set[str]) -> Iterator[Problem]:
    drawn = str(entry.front.drawing.params) if entry.front.drawing else ""
    used = {name.partition(".")[0] for name in used}
    for number, field in enumerate(entry.fields):
        if field.key not in used and f"{{{field.key}}}" not in drawn:
            yield Problem(
                entry.path, front_line(entry, "fields", number), f"the field {field.key!r} is never used"
            )


def _reading(entry: Explanation) -> Iterator[Problem]:
    """Too hard to read for a customer. Told once for the whole entry, at its first part."""
    try:
        found = reading.grade_of(entry.sample())
    except (FactError, LibraryError, KeyError):
        return  # said by another check, with its place
    if found > reading.HARDEST:
        at = next(iter(entry.written.values())).line
        yield Problem(
            entry.path, at, f"reading grade {found:.1f}: {reading.HARDEST:g} is the most; shorten it"
        )


def _owner_check(entry: Explanation) -> Iterator[Problem]:
    if entry.front.check and entry.bearing != "use":
        yield Problem(
            entry.path, front_line(entry, "check"), "only a matter of use may offer a check before posting"
        )


def _bench_words(entry: Explanation) -> Iterator[Problem]:
    if not entry.front.bench_words:
        yield Problem(
            entry.path,
            front_line(entry, "bench_words"),
            "bench_words: say at least once what the bench calls it",
        )


def _undefined_words(entry: Explanation) -> Iterator[Problem]:
    plain = "|".join(re.escape(word) for word in shared.glossary_file().undefined)
    for line, text in texts(entry):
        for word in re.findall(rf"\b(?:{plain})s?\b", text, re.IGNORECASE):
            yield Problem(
                entry.path, line, f"{word!r} is not in the glossary: say it in another way, or define it"
            )


def _twice(found: list[Explanation]) -> Iterator[Problem]:
    seen: dict[str, Explanation] = {}
    for entry in found:
        for phrase in entry.front.notice:
            key = " ".join(re.findall(r"\w+", phrase.lower()))
            if key in seen:
                line = front_line(entry, "notice")
                yield Problem(
                    entry.path, line, f"'{phrase}' is also what {seen[key].key} may make one notice"
                )
            seen.setdefault(key, entry)


_CHECKS = (
    _mechanism, _long_sentences, _places, _before_any_fact, safety.cautions, safety.steps, _undefined_words, drawn.examples, drawn.drawing,
    _reading, _owner_check, _bench_words,
)  # fmt: skip


def main() -> int:
    """Print every problem, or the table of a clean collection. Exit status 1 when there is something to mend."""
    if not settings.configured:  # by itself, without the site: headings stay English
        settings.configure(USE_I18N=False)
    problems = check()
    for problem in problems:
        print(problem)
    if not problems:
        print(table([load.load(path) for path in load.files(load.FOLDER)]))
    return 1 if problems else 0


if __name__ == "__main__":
    sys.exit(main())
