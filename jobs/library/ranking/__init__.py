"""How well each entry of a collection answers to a text: by the words that they share, and by what they mean.

`tests/benchmarks/library_search.py` compares this with other ways; DEVELOPERS.md has the figures and why it is as it is.
"""

from collections.abc import Mapping

import numpy as np

from jobs.library.explanation import Explanation
from jobs.library.prose import PLACE

from . import meaning
from .lexical import Lexical, Scores
from .words import Spelling, stem, words

MEANING = 0.7  # weight of meaning beside words, which weigh 1


class Index:
    """A collection made ready for searching. `entries` is what it was made from."""

    def __init__(self, entries: Mapping[str, Explanation]) -> None:
        self.entries = dict(entries)
        told = [words(gist(entry)) for entry in entries.values()]
        whole = [[*said, *words(story(entry))] for said, entry in zip(told, entries.values(), strict=True)]
        self._spelling = Spelling(word for document in whole for word in document)
        self._words = Lexical([[stem(word) for word in document] for document in whole])
        self._meaning = meaning.vectors([" ".join(document) for document in told])

    def scores(self, text: str) -> Scores:
        """One score for each entry, in their order: 0 has no word in common with the text, about 1 says just that."""
        asked = [self._spelling.right(word) for word in words(text)]
        by_words = self._words.scores([stem(word) for word in asked])
        by_meaning = np.clip(self._meaning @ meaning.vectors([" ".join(asked)])[0], 0, None)
        both = (by_words + MEANING * by_meaning) / (1 + MEANING)
        return np.asarray(np.where(by_words > 0, both, 0), np.float32)


def gist(entry: Explanation) -> str:
    """What an entry is about: its question, what one may notice, what the bench calls it, and the sentence in short."""
    return "\n".join([entry.title, *entry.notice, *entry.front.bench_words, entry.short])


def story(entry: Explanation) -> str:
    """What is happening, without this camera's facts. It adds words; its meaning wanders too far to be compared."""
    return PLACE.sub("", entry.written["happening"].markdown)


KEPT = 3  # collections kept ready in one process, the last asked for first
_kept: list[Index] = []


def index_of(entries: Mapping[str, Explanation]) -> Index:
    """The index of a collection, made anew when any entry has changed. Comparing is quick: unchanged entries are the same objects."""
    index = next((kept for kept in _kept if kept.entries == entries), None) or Index(entries)
    _kept[:] = [index, *(kept for kept in _kept if kept is not index)][:KEPT]
    return index
