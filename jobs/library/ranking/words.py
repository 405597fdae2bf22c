"""Cutting a text into words that say something, and setting misspelt ones right."""

import re
from collections.abc import Iterable
from functools import lru_cache

import snowballstemmer
from rapidfuzz import fuzz, process

# Words that every story has. What is left says what is the matter.
_EVERYDAY_WORDS = """
a an and are as at be been but by can do does for from goes had has have i in is it its me my no not of on or
so that the them then there they this to was were what when which why will with you your camera
"""
EVERYDAY = frozenset(_EVERYDAY_WORDS.split())
ALIKE = 80  # of 100: how alike a word that nobody uses must be to one that is used, to be taken for it
SHORTEST = 5  # letters; shorter words are never taken for another
_stemmer = snowballstemmer.stemmer("english")


def words(text: str) -> list[str]:
    """The words of a text in their order, in small letters, without everyday words. Apostrophes are dropped: "won't" is "wont"."""
    found = re.findall(r"[a-z0-9]+", text.lower().replace("'", "").replace("’", ""))
    return [word for word in found if word not in EVERYDAY]


@lru_cache(maxsize=20_000)
def stem(word: str) -> str:
    """One word without its ending: "winding" and "winds" are both "wind" (Porter 1980, in its English Snowball form)."""
    return str(_stemmer.stemWord(word))


class Spelling:
    """The words that a collection uses, and which of them a misspelt word was meant to be."""

    def __init__(self, known: Iterable[str]) -> None:
        self._known = sorted(set(known))
        self._as_written = frozenset(self._known)
        self._stems = frozenset(stem(word) for word in self._known)

    def right(self, word: str) -> str:
        """The word itself where it is known in any form; else the known word that begins like it and looks most like it; else itself."""
        if len(word) < SHORTEST or word in self._as_written or stem(word) in self._stems:
            return word
        near = process.extract(word, self._known, scorer=fuzz.ratio, score_cutoff=ALIKE, limit=3)
        return next((found for found, _, _ in near if found[0] == word[0]), word)
