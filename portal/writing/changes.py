"""What changed between two texts of an explanation: part by part, word by word."""

import difflib
import re
from collections.abc import Mapping
from dataclasses import dataclass
from tomllib import TOMLDecodeError
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from jobs.library import LibraryError, shared, write
from jobs.library.explanation import HEADINGS
from jobs.words import Trait
from portal.templatetags.look import label as in_words

LABELS = {
    "title": gettext_noop("Title"),
    "short": gettext_noop("In short"),
    "notice": gettext_noop("What owners may notice"),
    "bench_words": gettext_noop("What the bench calls it"),
    "certainty": gettext_noop("How sure"),
    "bearing": gettext_noop("The story"),
    "effect": gettext_noop("What it does"),
    **{key: HEADINGS[key] for key in write.PARTS},
    "cautions": gettext_noop("Take care"),
    "traits": gettext_noop("Only for cameras with"),
    "minutes": gettext_noop("Minutes at the bench"),
    "outcomes": gettext_noop("How it may turn out"),
    "fields": gettext_noop("What the bench is asked"),
    "drawing": gettext_noop("Drawing"),
    "check": gettext_noop("A check at home"),
    "habit": gettext_noop("A habit for afterwards"),
    "sources": gettext_noop("Where we have it from"),
}
KEYS = ("certainty", "bearing", "effect")
# A file may name the keys of a table in any order, which changes nothing; here they are told in this one.
ORDER = (
    "key", "label", "kind", "name", "value", "ask", "steps", "settled", "text", "also", "draw", "weight", "unit",
    "low", "likely", "high", "places", "example", "default", "options", "params", "legend",
)  # fmt: skip


@dataclass(frozen=True)
class Piece:
    """Words that stayed (""), went ("del") or came ("ins")."""

    how: str
    text: str


@dataclass(frozen=True)
class Change:
    """One part that is not as it was."""

    label: str
    pieces: list[Piece]


def changes(before: str, after: str) -> list[Change]:
    """Every part in which two texts of a file differ, in the page's order. An empty text has no parts."""
    old, new = told(before), told(after)
    return [
        Change(_(name), pieces(old.get(key, ""), new.get(key, "")))
        for key, name in LABELS.items()
        if old.get(key, "").split() != new.get(key, "").split()
    ]


def told(text: str) -> dict[str, str]:
    """Each part of a text as a person reads it, by key. A text that cannot be read is one part."""
    if not text:
        return {}
    try:
        front, parts = write.read(text)
    except (LibraryError, TOMLDecodeError):
        return {"happening": text}
    return {key: _plain(_called(key, value)) for key, value in front.items()} | parts


def pieces(before: str, after: str) -> list[Piece]:
    """The words of both, in order. Spaces and line ends count with the words around them."""
    old, new = _words(before), _words(after)
    found: list[Piece] = []
    matcher = difflib.SequenceMatcher(None, _bare(old), _bare(new), autojunk=False)
    for how, a, b, c, d in matcher.get_opcodes():
        if how == "equal":
            found.append(Piece("", "".join(new[c:d])))
            continue
        found += [Piece("del", "".join(old[a:b]))] if b > a else []
        found += [Piece("ins", "".join(new[c:d]))] if d > c else []
    return found


def _words(text: str) -> list[str]:
    return re.findall(r"\S+\s*|\s+", text)


def _bare(words: list[str]) -> list[str]:
    return [word.strip() for word in words]


def _called(key: str, value: Any) -> Any:
    """Keys by the names that the page gives them."""
    if key in KEYS:
        return in_words(str(value))
    names: dict[str, Any] = {}
    if key == "cautions":
        names = {one.key: one.title for one in shared.cautions().values()}
    if key == "traits":
        names = dict(Trait.choices)
    return [names.get(one, one) for one in value] if names else value


def _plain(value: Any) -> str:
    """A value of the front matter as lines of text."""
    if isinstance(value, list):
        return "\n".join(_plain(one) for one in value)
    if isinstance(value, Mapping):
        told = (_plain(value[key]) for key in sorted(value, key=_place))
        return " · ".join(part for part in told if part)
    return str(value)


def _place(key: str) -> tuple[int, str]:
    return (ORDER.index(key) if key in ORDER else len(ORDER), key)
