"""Finding the right entry: by words and meaning (`ranking`), preferring those whose traits fit the item."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from .explanation import Explanation
from .load import entries

UNFIT = 0.7  # what is left of the score of an entry that asks for a trait which the item is not noted to have


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
    """Entries that answer to a text, best first, each with its score; none when nothing is in common.

    Traits are a preference, never a filter: an entry that does not fit the item needs a better score to stand above one that
    does. An item of which no trait is noted prefers nothing. `among`: the collection (None: as shipped).
    """
    # Here and not above: numpy and its kin take a moment to load, and most processes never search.
    from .ranking import index_of

    has = frozenset(item_traits)
    index = index_of(entries() if among is None else among)
    scored = zip(index.entries.values(), index.scores(text).tolist(), strict=True)
    hits = [Hit(entry, score * _fit(entry, has)) for entry, score in scored if score > 0]
    return sorted(hits, key=lambda hit: (-hit.score, hit.entry.key))


def _fit(entry: Explanation, has: frozenset[str]) -> float:
    return 1.0 if not has or entry.traits <= has else UNFIT


def find(
    text: str, item_traits: Iterable[str] = (), among: Mapping[str, Explanation] | None = None
) -> list[Explanation]:
    """Entries that answer to a text, best first; none when nothing is in common."""
    return [hit.entry for hit in rank(text, item_traits, among)]
