"""Finding the right entry: by the item's traits, and by words. Small and plain on purpose; it does not weigh meaning."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from .explanation import Explanation
from .load import entries

_EVERYDAY_WORDS = """
a an and are as at be been but by can do does for from goes had has have i in is it its me my no not of on or
so that the them then there they this to was were what when which why will with you your camera
"""
_EVERYDAY = frozenset(_EVERYDAY_WORDS.split())
_ENDINGS = ("ing", "ed", "es", "s")


@dataclass(frozen=True)
class Hit:
    """An entry that answers to what was typed. `score` runs from 0 (nothing in common) to about 1."""

    entry: Explanation
    score: float


def match(item_traits: Iterable[str], among: Mapping[str, Explanation] | None = None) -> list[Explanation]:
    """All entries, those that fit the item first, the more particular before the general; then the rest.

    An entry fits when the item has all its traits; an entry without traits fits every item. `among`: the collection
    (None: as shipped).
    """
    has = frozenset(item_traits)
    found = (entries() if among is None else among).values()
    return sorted(found, key=lambda entry: (len(entry.traits - has), -len(entry.traits), entry.key))


def rank(
    text: str, item_traits: Iterable[str] = (), among: Mapping[str, Explanation] | None = None
) -> list[Hit]:
    """Entries that answer to a text, best first, each with its score; none when nothing is in common."""
    asked = stems(text)
    hits = [Hit(entry, _score(asked, entry)) for entry in match(item_traits, among)]
    return sorted((hit for hit in hits if hit.score > 0), key=lambda hit: -hit.score)


def find(
    text: str, item_traits: Iterable[str] = (), among: Mapping[str, Explanation] | None = None
) -> list[Explanation]:
    """Entries that answer to a text, best first; none when nothing is in common."""
    return [hit.entry for hit in rank(text, item_traits, among)]


def stems(text: str) -> frozenset[str]:
    """The words of a text that say something, without simple endings."""
    words = re.findall(r"[a-z0-9]+", text.lower().replace("'", "").replace("’", ""))
    return frozenset(_stem(word) for word in words if word not in _EVERYDAY)


def _stem(word: str) -> str:
    for ending in _ENDINGS:
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            return word.removesuffix(ending)
    return word


def _score(asked: frozenset[str], entry: Explanation) -> float:
    phrases = [stems(phrase) for phrase in (entry.title, *entry.notice)]
    whole = asked & frozenset().union(*phrases)
    best = max(len(asked & phrase) for phrase in phrases)
    return (best + 0.1 * len(whole)) / (1.1 * len(asked)) if asked else 0.0
