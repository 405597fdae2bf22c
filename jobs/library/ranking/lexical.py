"""By words: BM25 (Robertson & Zaragoza 2009) over one document for each entry."""

import logging
from collections import Counter

import bm25s
import numpy as np
from numpy.typing import NDArray

logging.getLogger("bm25s").setLevel(logging.WARNING)  # it tells of every index that it makes

Scores = NDArray[np.float32]
K1, B = 1.5, 0.75  # the usual constants; others measured no better


class Lexical:
    """An index of documents, each a list of stems."""

    def __init__(self, documents: list[list[str]]) -> None:
        self.size = len(documents)
        often = Counter(word for document in documents for word in set(document))
        self._rarity = {word: _rarity(count, self.size) for word, count in often.items()}
        self._bm25 = bm25s.BM25(k1=K1, b=B)
        if often:
            self._bm25.index(documents, show_progress=False)

    def scores(self, asked: list[str]) -> Scores:
        """For each document what share of the stems, weighed by rarity, it has: 0 none of them, 1 each of them about once."""
        answered = [word for word in asked if word in self._rarity]
        if not answered:
            return np.zeros(self.size, np.float32)
        unknown = _rarity(0, self.size)
        whole = sum(self._rarity.get(word, unknown) for word in asked)
        # bm25s leaves out the factor k1 + 1, with which a word that a document has once weighs about its rarity.
        return np.asarray(self._bm25.get_scores(answered) * (K1 + 1) / whole, np.float32)


def _rarity(count: int, size: int) -> float:
    """What a word weighs that stands in `count` of `size` documents (BM25's inverse document frequency)."""
    return float(np.log(1 + (size - count + 0.5) / (count + 0.5)))
