"""The two files that every entry shares: cautions.toml and glossary.toml."""

import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Annotated

from pydantic import Field

from . import parse
from .schema import Line, Slug, Strict

HERE = Path(__file__).parent
CAUTIONS_FILE = HERE / "cautions.toml"
GLOSSARY_FILE = HERE / "glossary.toml"
Text = Annotated[str, Field(min_length=10, max_length=600)]


class Caution(Strict):
    """One hazard in customer words. `triggers` are regular expressions; text that matches one must carry the caution."""

    key: Slug
    title: Line
    text: Text
    triggers: list[str] = []
    source: Line

    def is_called_for_by(self, text: str) -> bool:
        return any(re.search(rf"\b(?:{trigger})\b", text, re.IGNORECASE) for trigger in self.triggers)


class CautionsFile(Strict):
    caution: list[Caution]


class Entry(Strict):
    """One trade word: its key, the forms in which it is written, and its meaning in one sentence."""

    key: Slug
    word: Annotated[str, Field(min_length=2, max_length=40)]
    forms: list[str] = []
    meaning: Line


class GlossaryFile(Strict):
    """`undefined` lists trade words that customers' text should do without; the check names them where they stand."""

    undefined: list[str]
    word: list[Entry]


@dataclass(frozen=True)
class Word:
    """A defined word as a page or a letter lists it. Its anchor is `word-<key>`."""

    key: str
    word: str
    meaning: str


@dataclass(frozen=True)
class Glossary:
    """All defined words, and one pattern that finds any of their forms, longest first."""

    words: dict[str, Word]
    forms: dict[str, str]
    pattern: re.Pattern[str]


@cache
def cautions() -> dict[str, Caution]:
    """Every caution by key, in the file's order."""
    text = CAUTIONS_FILE.read_text(encoding="utf-8")
    found = parse.model(CautionsFile, CAUTIONS_FILE, text, 1)
    return {caution.key: caution for caution in found.caution}


def glossary_file() -> GlossaryFile:
    """The glossary as written."""
    return parse.model(GlossaryFile, GLOSSARY_FILE, GLOSSARY_FILE.read_text(encoding="utf-8"), 1)


@cache
def glossary() -> Glossary:
    """The glossary, ready to find words in text."""
    entries = glossary_file().word
    forms = {form.lower(): entry.key for entry in entries for form in (entry.word, *entry.forms)}
    longest_first = sorted(forms, key=len, reverse=True)
    pattern = re.compile(rf"\b(?:{'|'.join(map(re.escape, longest_first))})\b", re.IGNORECASE)
    words = {entry.key: Word(entry.key, entry.word, entry.meaning) for entry in entries}
    return Glossary(words, forms, pattern)
