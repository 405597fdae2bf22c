"""What a story tells of: the few dozen symptoms of symptoms.toml, found in an owner's own words.

Not for finding an entry (`finding` does that), but for saying which closed jobs had a story like this one.
"""

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path
from typing import Annotated

from pydantic import Field

from . import parse
from .schema import Line, Slug, Strict

SYMPTOMS_FILE = Path(__file__).parent / "symptoms.toml"
BETWEEN = 5  # other words that may stand between two words of a pattern
KEPT = 5000  # stories whose symptoms are remembered
Pattern = Annotated[str, Field(pattern=r"^[a-z0-9]+\*?([ |][a-z0-9]+\*?)*$")]


class Symptom(Strict):
    """One thing that goes wrong, as owners write it. `label` is read by staff; see the file for `says` and `unless`."""

    key: Slug
    label: Line
    says: Annotated[list[Pattern], Field(min_length=1)]
    unless: list[Pattern] = []


class SymptomsFile(Strict):
    symptom: list[Symptom]


@dataclass(frozen=True)
class Ear:
    """A symptom, ready to be heard in a sentence."""

    key: str
    says: re.Pattern[str]
    unless: re.Pattern[str] | None

    def hears(self, sentence: str) -> bool:
        return bool(self.says.search(sentence)) and not (self.unless and self.unless.search(sentence))


@cache
def symptoms() -> dict[str, Symptom]:
    """Every symptom by key, in the file's order."""
    text = SYMPTOMS_FILE.read_text(encoding="utf-8")
    found = parse.model(SymptomsFile, SYMPTOMS_FILE, text, 1)
    return {symptom.key: symptom for symptom in found.symptom}


@lru_cache(maxsize=KEPT)
def symptoms_of(story: str) -> frozenset[str]:
    """The keys of the symptoms that a story tells of. Each is looked for in one sentence at a time."""
    heard = sentences(story)
    return frozenset(ear.key for ear in _ears() if any(ear.hears(sentence) for sentence in heard))


def sentences(story: str) -> list[str]:
    """A text as sentences of bare words: small letters, no accents, no apostrophes, one space between."""
    plain = unicodedata.normalize("NFKD", story.lower())
    plain = re.sub(r"['’\u0300-\u036f]", "", plain)
    words = [" ".join(re.findall(r"[a-z0-9]+", part)) for part in re.split(r"[.!?;\n]+(?:\s|$)|\n", plain)]
    return [sentence for sentence in words if sentence]


@cache
def _ears() -> list[Ear]:
    return [
        Ear(each.key, _any_of(each.says), _any_of(each.unless) if each.unless else None)
        for each in symptoms().values()
    ]


def _any_of(patterns: Iterable[str]) -> re.Pattern[str]:
    return re.compile("|".join(_expression(pattern) for pattern in patterns))


def _expression(pattern: str) -> str:
    """The words in this order, each whole or begun, with a few others between."""
    words = [_word(word) for word in pattern.split()]
    return r"\b" + rf"(?: [a-z0-9]+){{0,{BETWEEN}}} ".join(words)


def _word(word: str) -> str:
    forms = [form.replace("*", "[a-z0-9]*") for form in word.split("|")]
    return f"(?:{'|'.join(forms)})\\b"
