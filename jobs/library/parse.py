"""Reading one file of the library: TOML front matter between `+++` lines, then the body. Every error has its line."""

import re
import tomllib
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from .errors import LibraryError, Problem

Model = TypeVar("Model", bound=BaseModel)
NOWHERE = Path("text")  # stands in problems of text that belongs to no file
_TOML_PLACE = re.compile(r" \(at line (\d+), column \d+\)$")


@dataclass(frozen=True)
class SourceFile:
    """A file as read: the front matter's text, and the body with the number of its first line (both from 1)."""

    path: Path
    front: str
    body: str
    body_line: int


def read(path: Path) -> SourceFile:
    """Split a file at its `+++` lines. Raises LibraryError when they are not there or it is not UTF-8."""
    try:
        text = path.read_text(encoding="utf-8")
    except UnicodeDecodeError as error:
        raise LibraryError([Problem(path, 1, "the file is not UTF-8 text")]) from error
    return split(path, text)


def split(path: Path, text: str) -> SourceFile:
    """The same for text that is not in a file; `path` is where it would be, for its problems."""
    lines = text.split("\n")
    if lines[0].rstrip() != "+++":
        raise LibraryError([Problem(path, 1, "the first line must be +++")])
    for number, line in enumerate(lines[1:], start=2):
        if line.rstrip() == "+++":
            return SourceFile(path, "\n".join(lines[1 : number - 1]), "\n".join(lines[number:]), number + 1)
    raise LibraryError([Problem(path, 1, "the front matter has no closing +++")])


def values(toml: str) -> dict[str, Any]:
    """TOML as plain values: text, whole numbers, Decimals, lists and tables. Raises TOMLDecodeError."""
    return tomllib.loads(toml, parse_float=Decimal)


def model(kind: type[Model], path: Path, toml: str, first_line: int) -> Model:
    """Check TOML text against a schema. `first_line` is the line of the file on which the text begins."""
    try:
        return kind.model_validate(values(toml))
    except tomllib.TOMLDecodeError as error:
        raise LibraryError([_toml_problem(path, toml, first_line, str(error))]) from error
    except ValidationError as error:
        raise LibraryError(
            [
                Problem(path, first_line + line_of(toml, found["loc"]), _in_words(found))
                for found in error.errors(include_url=False)
            ]
        ) from error


def _toml_problem(path: Path, toml: str, first_line: int, message: str) -> Problem:
    place = _TOML_PLACE.search(message)
    line = int(place.group(1)) if place else toml.count("\n") + 1
    return Problem(path, first_line + line - 1, f"not valid TOML: {_TOML_PLACE.sub('', message)}")


def _in_words(found: Any) -> str:
    where = ".".join(str(part) for part in found["loc"])
    if found["type"] == "extra_forbidden":
        return f"{where}: there is no such key"
    if found["type"] == "missing":
        return f"{where}: is missing"
    message = str(found["msg"]).removeprefix("Value error, ")
    return f"{where}: {message}" if where else message


def line_of(toml: str, loc: tuple[int | str, ...]) -> int:
    """Lines from the start of the TOML text to the key that a pydantic location names (0 when it cannot be told)."""
    lines, at = toml.split("\n"), 0
    for place, part in enumerate(loc):
        follows = loc[place + 1] if place + 1 < len(loc) else None
        nth = follows if isinstance(follows, int) else 0
        found = _find_key(lines, at, str(part), nth) if isinstance(part, str) else None
        at = at if found is None else found
    return at


def _find_key(lines: list[str], start: int, key: str, nth: int) -> int | None:
    """The line of `key = ...` or `[key]` from `start` on, or of the nth `[[key]]`."""
    name = re.escape(key)
    seen = -1
    for number in range(start, len(lines)):
        if re.match(rf"\s*\[\[{name}\]\]", lines[number]):
            seen += 1
            if seen == nth:
                return number
        elif re.match(rf"\s*(\[{name}\]|{name}\s*=)", lines[number]):
            return number
    return None
