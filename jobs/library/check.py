"""Checking the whole library: `python -m jobs.library.check`. Names file and line of everything to mend."""

import re
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from statistics import median
from typing import get_args

from django.conf import settings

from . import draw, facts, load, reading, shared
from .errors import FactError, LibraryError, Problem
from .explanation import Explanation, Written, drawing_params
from .parse import line_of
from .prose import PLACE
from .schema import ChoiceField, Mechanism, NumberField

LONGEST_SENTENCE = 30
# What an owner is never asked to do, unless the sentence forbids it ("Do not oil it").
UNSAFE = re.compile(
    r"\b(open|unscrew|dismantle|disassemble|take (?:it |the \w+ )?apart|take off|remove|pry|prise|lever up|oil|grease|"
    r"lubricate|spray|wipe|rinse|wash|scrape|solvent|alcohol|naphtha|acetone|force|push hard|pull hard|press hard|knock|"
    r"tap|hit|shake|bend|heat|warm|freeze|drill|cut|poke|tweezers|screwdriver|pliers)\b",
    re.IGNORECASE,
)
FORBIDS = re.compile(r"\b(?:do not|don't|never|without|cannot)\b[^,;]*$", re.IGNORECASE)
SAFE = re.compile(
    r"\bopen the film door\b|\bfilm door still open\b|\bwide open\b|"
    r"\btake off the (?:lens cap|lens hood|case)\b|\bwash your hands\b",
    re.IGNORECASE,
)


def check(folder: Path = load.FOLDER) -> list[Problem]:
    """Every problem of the library in a folder, sorted by file and line. Empty means clean."""
    found, problems = _load_all(folder)
    problems += _shared_files()
    if any(problem.path in (shared.CAUTIONS_FILE, shared.GLOSSARY_FILE) for problem in problems):
        return sorted(problems)
    for entry in found:
        problems += of_entry(entry)
    return sorted(problems + list(_twice(found)) + _drawings())


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


def _drawings() -> list[Problem]:
    problems: list[Problem] = []
    for name in draw.names():
        try:
            draw.drawing(name)
        except (LibraryError, FactError) as error:
            path = draw.FOLDER / f"{name}.svg"
            problems += error.problems if isinstance(error, LibraryError) else [Problem(path, 1, str(error))]
    return problems


def _front_line(entry: Explanation, *loc: int | str) -> int:
    return 2 + line_of(entry.front_text, loc)


def _texts(entry: Explanation) -> Iterator[tuple[int, str]]:
    """Every paragraph, step and line that a customer reads, with its line in the file."""
    yield _front_line(entry, "title"), entry.front.title
    yield _front_line(entry, "short"), entry.front.short
    for number, outcome in enumerate(entry.outcomes):
        yield _front_line(entry, "outcomes", number, "text"), outcome.text
    if entry.front.drawing:
        yield from ((_front_line(entry, "drawing"), line) for line in entry.front.drawing.legend)
    for number, field in enumerate(entry.fields):
        if isinstance(field, ChoiceField):
            line = _front_line(entry, "fields", number)
            yield from (
                (line, text) for option in field.options for text in (option.text, option.also) if text
            )
    for written in entry.written.values():
        yield from _pieces(written)
    yield from _outside(entry)


def _outside(entry: Explanation) -> Iterator[tuple[int, str]]:
    """What is told apart from the explanation: the check before posting, and the habit afterwards."""
    if owner := entry.front.check:
        yield _front_line(entry, "check", "ask"), owner.ask
        yield _front_line(entry, "check", "settled"), owner.settled
        yield from ((_front_line(entry, "check", "steps"), step) for step in owner.steps)
    if entry.front.habit:
        yield _front_line(entry, "habit"), entry.front.habit


def _pieces(written: Written) -> Iterator[tuple[int, str]]:
    """Paragraphs and list items of a section, each as one line of text with the number of its first line."""
    start, lines = written.line, list[str]()
    for number, line in enumerate([*written.markdown.split("\n"), ""], start=written.line):
        if lines and (not line.strip() or re.match(r"\s*(\d+\.|-) ", line)):
            yield start, " ".join(lines)
            lines = []
        if line.strip():
            start = start if lines else number
            lines.append(re.sub(r"^\s*(\d+\.|-) +", "", line).strip())


def _sentences(text: str) -> list[str]:
    return [sentence for sentence in re.split(r"(?<=[.!?:])\s+", text) if sentence]


def _mechanism(entry: Explanation) -> Iterator[Problem]:
    if entry.mechanism not in get_args(Mechanism):
        yield Problem(entry.path, 1, f"the folder {entry.mechanism!r} is not a mechanism")


def _long_sentences(entry: Explanation) -> Iterator[Problem]:
    for line, text in _texts(entry):
        for sentence in _sentences(PLACE.sub("x", text)):
            length = len(sentence.split())
            if length > LONGEST_SENTENCE:
                yield Problem(
                    entry.path, line, f"a sentence of {length} words: '{' '.join(sentence.split()[:6])} ...'"
                )


def _places(entry: Explanation) -> Iterator[Problem]:
    known = {field.key for field in entry.fields} | {f"{key}.also" for key in _with_also(entry)}
    marks = len(entry.front.drawing.legend) if entry.front.drawing else 0
    used = set()
    for line, text in _texts(entry):
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
    for name, texts in (("title", [front.title]), ("notice", front.notice), ("habit", [front.habit or ""])):
        if places := [place.group() for text in texts for place in PLACE.finditer(text)]:
            yield Problem(
                entry.path,
                _front_line(entry, name),
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
                entry.path, _front_line(entry, "fields", number), f"the field {field.key!r} is never used"
            )


def _cautions(entry: Explanation) -> Iterator[Problem]:
    line = _front_line(entry, "cautions")
    named = set(entry.front.cautions)
    for key in sorted(named - set(shared.cautions())):
        yield Problem(entry.path, line, f"there is no caution called {key!r}")
    for at, text in _texts(entry):
        for caution in shared.cautions().values():
            if caution.key not in named and caution.is_called_for_by(text):
                yield Problem(
                    entry.path, at, f"a hazard without its caution: name {caution.key!r} in cautions"
                )
    if ("what_you_can_do" in entry.written or entry.front.check) and "never-open" not in named:
        yield Problem(entry.path, line, "there are steps for the owner, so cautions must name 'never-open'")


def _steps(entry: Explanation) -> Iterator[Problem]:
    written = entry.written.get("what_you_can_do")
    if written and not re.search(r"^1\. ", written.markdown, re.MULTILINE):
        yield Problem(entry.path, written.line, "what an owner can do must be numbered steps")
    told = list(_pieces(written)) if written else []
    for line, text in [*told, *_outside(entry)]:
        for sentence in _sentences(text):
            for verb in unsafe_verbs(sentence):
                yield Problem(entry.path, line, f"an unsafe verb in an owner's step: {verb!r}")


def unsafe_verbs(sentence: str) -> list[str]:
    """Unsafe verbs that the sentence asks for. One is let off when the same clause forbids it before naming it."""
    told = SAFE.sub("", sentence)
    return [verb.group() for verb in UNSAFE.finditer(told) if not FORBIDS.search(told[: verb.start()])]


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
            entry.path, _front_line(entry, "check"), "only a matter of use may offer a check before posting"
        )


def _bench_words(entry: Explanation) -> Iterator[Problem]:
    if not entry.front.bench_words:
        yield Problem(
            entry.path,
            _front_line(entry, "bench_words"),
            "bench_words: say at least once what the bench calls it",
        )


def _undefined_words(entry: Explanation) -> Iterator[Problem]:
    plain = "|".join(re.escape(word) for word in shared.glossary_file().undefined)
    for line, text in _texts(entry):
        for word in re.findall(rf"\b(?:{plain})s?\b", text, re.IGNORECASE):
            yield Problem(
                entry.path, line, f"{word!r} is not in the glossary: say it in another way, or define it"
            )


def _drawing(entry: Explanation) -> Iterator[Problem]:
    use = entry.front.drawing
    if use is None:
        return
    line = _front_line(entry, "drawing")
    if use.name not in draw.names():
        yield Problem(entry.path, line, f"there is no drawing called {use.name!r}")
        return
    for tried in _extremes(entry):
        try:
            svg = draw.drawing(use.name, **drawing_params(use, facts.check(entry.fields, tried)))
        except (FactError, KeyError) as error:
            yield Problem(entry.path, line, f"the drawing cannot be made with {tried}: {error}")
            continue
        shown = svg.count('class="mark"')
        if shown != len(use.legend):
            yield Problem(
                entry.path, line, f"the drawing shows {shown} marks, its legend names {len(use.legend)}"
            )
            return


def _extremes(entry: Explanation) -> list[dict[str, facts.Given]]:
    """The examples, and for each field in turn its limits or each of its answers."""
    base = facts.examples(entry.fields)
    tries = [base]
    for field in entry.fields:
        if isinstance(field, ChoiceField):
            tries += [{**base, field.key: option.value} for option in field.options]
        if isinstance(field, NumberField):
            tries += [{**base, field.key: str(end)} for end in (field.low, field.high)]
    return tries


def _examples(entry: Explanation) -> Iterator[Problem]:
    try:
        facts.check(entry.fields, facts.examples(entry.fields))
    except FactError as error:
        yield Problem(entry.path, _front_line(entry, "fields"), f"its own example does not fit: {error}")


def _twice(found: list[Explanation]) -> Iterator[Problem]:
    seen: dict[str, Explanation] = {}
    for entry in found:
        for phrase in entry.front.notice:
            key = " ".join(re.findall(r"\w+", phrase.lower()))
            if key in seen:
                line = _front_line(entry, "notice")
                yield Problem(
                    entry.path, line, f"'{phrase}' is also what {seen[key].key} may make one notice"
                )
            seen.setdefault(key, entry)


_CHECKS = (
    _mechanism, _long_sentences, _places, _before_any_fact, _cautions, _steps, _undefined_words, _examples, _drawing,
    _reading, _owner_check, _bench_words,
)  # fmt: skip


def table(found: list[Explanation]) -> str:
    """The collection as a table in Markdown, a row per mechanism. Grades are Flesch-Kincaid."""
    heads = [
        "mechanism", "entries", "drawings", "matters of use", "not known until tried", "cannot be undone",
        "checks at home", "grade, median", "grade, highest",
    ]  # fmt: skip
    rows = [f"| {' | '.join(heads)} |", "|---" * len(heads) + "|"]
    grades = {entry.key: reading.grade_of(entry.sample()) for entry in found}
    for name in [*get_args(Mechanism), "all"]:
        here = [entry for entry in found if name in (entry.mechanism, "all")]
        if here:
            rows.append(_row(name, here, [grades[entry.key] for entry in here]))
    return "\n".join(rows)


def _row(name: str, here: list[Explanation], grades: list[float]) -> str:
    cells = [
        name.replace("_", " "),
        len(here),
        sum(entry.front.drawing is not None for entry in here),
        sum(entry.bearing == "use" for entry in here),
        sum(bool(entry.outcomes) for entry in here),
        sum("not_undone" in entry.written for entry in here),
        sum(entry.front.check is not None for entry in here),
        f"{median(grades):.1f}",
        f"{max(grades):.1f}",
    ]
    return f"| {' | '.join(map(str, cells))} |"


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
