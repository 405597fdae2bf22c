"""Finding the right entry: by the item's traits, and by words. Small and plain on purpose; it does not weigh meaning."""

import re
from collections.abc import Iterable

from .explanation import Explanation
from .load import entries

_EVERYDAY_WORDS = """
a an and are as at be been but by can do does for from goes had has have i in is it its me my no not of on or
so that the them then there they this to was were what when which why will with you your camera
"""
_EVERYDAY = frozenset(_EVERYDAY_WORDS.split())
_ENDINGS = ("ing", "ed", "es", "s")


def match(item_traits: Iterable[str]) -> list[Explanation]:
    """All entries, those that fit the item first, the more particular before the general; then the rest.

    An entry fits when the item has all its traits; an entry without traits fits every item.
    """
    has = frozenset(item_traits)
    return sorted(
        entries().values(), key=lambda entry: (len(entry.traits - has), -len(entry.traits), entry.key)
    )


def find(text: str, item_traits: Iterable[str] = ()) -> list[Explanation]:
    """Entries that share words with the text in title or "may notice" phrases, best first; none when nothing is shared.

    The score is the best share of the asked words found in one phrase, then the number found in the whole entry.
    Traits only break ties. Everyday words do not count, and simple endings are ignored.
    """
    asked = stems(text)
    place = {entry.key: number for number, entry in enumerate(match(item_traits))}
    scored = [(_score(asked, entry), entry) for entry in entries().values()]
    hits = [(score, entry) for score, entry in scored if score > (0, 0)]
    return [entry for _, entry in sorted(hits, key=lambda hit: (-hit[0][0], -hit[0][1], place[hit[1].key]))]


def stems(text: str) -> frozenset[str]:
    """The words of a text that say something, without simple endings."""
    words = re.findall(r"[a-z0-9]+", text.lower().replace("'", "").replace("’", ""))
    return frozenset(_stem(word) for word in words if word not in _EVERYDAY)


def _stem(word: str) -> str:
    for ending in _ENDINGS:
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            return word.removesuffix(ending)
    return word


def _score(asked: frozenset[str], entry: Explanation) -> tuple[int, int]:
    phrases = [stems(phrase) for phrase in (entry.title, *entry.notice)]
    whole = asked & frozenset().union(*phrases)
    return max(len(asked & phrase) for phrase in phrases), len(whole)
