"""Finding and loading the entries."""

import logging
import re
from functools import cache
from pathlib import Path

from . import parse
from .errors import LibraryError, Problem
from .explanation import HEADINGS, MADE, NEEDED, Explanation, Written
from .schema import Front

FOLDER = Path(__file__).parent
log = logging.getLogger(__name__)


@cache
def entries() -> dict[str, Explanation]:
    """Every entry by key, sorted. A file that is not right is logged and left out: the check stops on it, not the site."""
    found = {}
    for path in files(FOLDER):
        try:
            entry = load(path)
        except LibraryError as error:
            log.error("Left out of the library: %s", error)
            continue
        found[entry.key] = entry
    return found


def files(folder: Path) -> list[Path]:
    """The entries' files: `<mechanism>/<slug>.md`."""
    return sorted(path for path in folder.glob("*/*.md") if path.name != "README.md")


def load(path: Path) -> Explanation:
    """Read one entry. Raises LibraryError with every problem found, each with its line."""
    return _entry(parse.read(path))


def from_text(key: str, text: str) -> Explanation:
    """The same from the whole text of a file that is kept elsewhere. Its problems name the file that it would be."""
    return _entry(parse.split(FOLDER / f"{key}.md", text))


def _entry(source: parse.SourceFile) -> Explanation:
    path = source.path
    front = parse.model(Front, path, source.front, 2)
    written = _sections(source)
    return Explanation(f"{path.parent.name}/{path.stem}", path, front, written, source.front)


def _sections(source: parse.SourceFile) -> dict[str, Written]:
    """The body cut at its `## ` headings. Unknown, repeated, misplaced, empty and missing parts are all reported."""
    found, problems = cut(source)
    order = [key for key in HEADINGS if key not in MADE]
    if [key for key in order if key in found] != list(found):
        problems.append(Problem(source.path, source.body_line, "the parts are not in the usual order"))
    for key in NEEDED:
        if key not in found:
            message = f"the part '{HEADINGS[key]}' is missing"
            problems.append(Problem(source.path, source.body_line, message))
    problems += [
        Problem(source.path, written.line, f"the part '{HEADINGS[key]}' is empty")
        for key, written in found.items()
        if not written.markdown.strip()
    ]
    if problems:
        raise LibraryError(sorted(problems))
    return found


def cut(source: parse.SourceFile) -> tuple[dict[str, Written], list[Problem]]:
    """The parts of a body by key, in the file's order, and what is wrong with its headings."""
    keys = {heading: key for key, heading in HEADINGS.items() if key not in MADE}
    found: dict[str, Written] = {}
    problems = []
    pieces = re.split(r"^## +(.*?) *$", source.body, flags=re.MULTILINE)
    line = source.body_line + pieces[0].count("\n")
    if pieces[0].strip():
        problems.append(Problem(source.path, source.body_line, "text stands before the first heading"))
    for heading, text in zip(pieces[1::2], pieces[2::2], strict=True):
        key = keys.get(heading)
        if key is None:
            problems.append(Problem(source.path, line, f"there is no part called '{heading}'"))
        elif key in found:
            problems.append(Problem(source.path, line, f"the part '{heading}' stands twice"))
        else:
            found[key] = Written(text, line)
        line += text.count("\n")
    return found, problems
