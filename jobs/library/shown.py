"""What a customer is shown: an entry filled with the facts of one camera. A snapshot, kept word for word."""

import hashlib
from dataclasses import asdict, dataclass
from typing import Any

import rfc8785
from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

from .prose import ringed, to_text
from .shared import Word


@dataclass(frozen=True)
class Section:
    """One part of an explanation. `key` is fixed, `heading` is in the reader's language, `html` is safe."""

    key: str
    heading: str
    html: SafeString

    def __iter__(self) -> Any:
        return iter((self.key, self.heading, self.html))

    @property
    def text(self) -> str:
        """The part without markup."""
        return to_text(self.html)


@dataclass(frozen=True)
class Picture:
    """The drawing as it was shown: its SVG, and what its numbered marks stand for."""

    name: str
    title: str
    svg: SafeString
    legend: tuple[str, ...]

    @property
    def html(self) -> SafeString:
        """The drawing with its legend, as one figure."""
        said = [
            f"<span>{ringed(str(number))} {escape(text)}</span>"
            for number, text in enumerate(self.legend, start=1)
        ]
        caption = f"<figcaption>{' '.join(said)}</figcaption>" if said else ""
        return mark_safe(f'<figure class="drawn">{self.svg}{caption}</figure>')  # noqa: S308 - built from escaped parts


@dataclass(frozen=True)
class Shown:
    """An explanation as one customer reads it.

    `title` and `short` are plain text; `sections` are (key, heading, safe HTML); `glossary` holds the words whose
    first use links to `#word-<key>`: the page lists them once, each in an element with that id. `facts` are the
    checked facts it was filled with, so that a correction can begin from them.
    """

    key: str
    title: str
    short: str
    sections: tuple[Section, ...]
    glossary: tuple[Word, ...]
    cautions: tuple[str, ...]
    facts: dict[str, str | int]
    picture: Picture | None = None

    @property
    def words(self) -> int:
        """How many words the customer has to read."""
        return len(self.plain().split())

    @property
    def digest(self) -> str:
        """SHA-256, in hex, of the RFC 8785 form of the whole snapshot."""
        return hashlib.sha256(rfc8785.dumps(self.as_dict())).hexdigest()

    def section(self, key: str) -> Section | None:
        """One section by its key, or None when this entry does not have it."""
        return next((section for section in self.sections if section.key == key), None)

    def plain(self) -> str:
        """The whole explanation as plain text, for a letter. Drawings are left out; nothing is lost with them."""
        parts = [self.title, self.short]
        for section in self.sections:
            parts += [section.heading, section.text]
        return "\n\n".join(parts) + "\n"

    def as_dict(self) -> dict[str, Any]:
        """A snapshot of strings and whole numbers only, fit for JSON and for RFC 8785."""
        snapshot = asdict(self)
        snapshot["sections"] = [
            {"key": part.key, "heading": part.heading, "html": str(part.html)} for part in self.sections
        ]
        snapshot["glossary"] = [asdict(word) for word in self.glossary]
        snapshot["cautions"] = list(self.cautions)
        snapshot["picture"] = self._picture_as_dict()
        return snapshot

    def _picture_as_dict(self) -> dict[str, Any]:
        if self.picture is None:
            return {}
        return {**asdict(self.picture), "svg": str(self.picture.svg), "legend": list(self.picture.legend)}

    @classmethod
    def from_dict(cls, snapshot: dict[str, Any]) -> "Shown":
        """Bring a snapshot back. It must come from our own store: its HTML is trusted."""
        return cls(
            key=snapshot["key"],
            title=snapshot["title"],
            short=snapshot["short"],
            sections=tuple(
                Section(part["key"], part["heading"], mark_safe(part["html"]))  # noqa: S308 - our own snapshot
                for part in snapshot["sections"]
            ),
            glossary=tuple(Word(**word) for word in snapshot["glossary"]),
            cautions=tuple(snapshot["cautions"]),
            facts=dict(snapshot["facts"]),
            picture=_picture_from(snapshot["picture"]),
        )


def _picture_from(kept: dict[str, Any]) -> Picture | None:
    if not kept:
        return None
    svg = mark_safe(kept["svg"])  # noqa: S308 - our own snapshot
    return Picture(kept["name"], kept["title"], svg, tuple(kept["legend"]))


def words_of(*shown: Shown) -> list[Word]:
    """The glossary of a whole page: every word that any of its explanations links to, once, in alphabetical order."""
    found = {word.key: word for one in shown for word in one.glossary}
    return sorted(found.values(), key=lambda word: word.word.lower())
