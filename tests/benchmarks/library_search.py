"""How well the library's search finds the right entry, beside other ways of searching, and how good its offers are.

    .venv/bin/python tests/benchmarks/library_search.py            # tables of both sets of phrases
    .venv/bin/python tests/benchmarks/library_search.py misses     # and what the tuning phrases miss; never the held-apart ones

Also the measurements behind the rows of `make bench` (rows_library.py) and the test that keeps the figures up.
"""

import os
import random
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path
from unittest.mock import patch

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")

import numpy as np
from rapidfuzz import fuzz, process

from jobs.library import Explanation, entries, finding, offering, ranking
from jobs.library.ranking import Index, gist, meaning, story
from jobs.library.ranking.lexical import Lexical, Scores
from jobs.library.ranking.words import stem, words
from tests.benchmarks.frame import milliseconds
from tests.jobs.library import asked
from tests.jobs.library.asked import Figures, Phrase, Search

Scoring = Callable[[str], Scores]
SETS = ("tuning", "held_apart")
LONG_AND_SHORT = (
    "lever sticks out half way, button pops up",
    "I took it on our honeymoon and half of the pictures came back with an orange stripe down one side, worst where it was sunny",
    "shuter drags slow speds",
)


def by_score(scoring: Scoring) -> Search:
    """A search that goes by one score for each entry, without traits."""
    keys = list(entries())
    return lambda text, traits: [keys[at] for at in np.argsort(-scoring(text), kind="stable")]


def phrases_of(entry: Explanation) -> list[str]:
    """Title, what one may notice, what the bench calls it and the sentence in short, each without everyday words."""
    told = [entry.title, *entry.notice, *entry.front.bench_words, entry.short]
    return [" ".join(words(phrase)) for phrase in told]


def texts() -> list[list[str]]:
    return [phrases_of(entry) for entry in entries().values()]


def bm25() -> Scoring:
    index = Lexical(
        [[stem(word) for word in words(f"{gist(one)}\n{story(one)}")] for one in entries().values()]
    )
    return lambda text: index.scores([stem(word) for word in words(text)])


def fuzzy() -> Scoring:
    """For each entry the token set ratio of its nearest phrase, 0 to 1."""
    each = texts()
    flat = [phrase for document in each for phrase in document]
    starts = np.cumsum([0, *(len(document) for document in each)])[:-1]

    def scoring(text: str) -> Scores:
        near = process.cdist([" ".join(words(text))], flat, scorer=fuzz.token_set_ratio)[0]
        return np.maximum.reduceat(near, starts).astype(np.float32) / 100

    return scoring


def nearest_phrase() -> Scoring:
    """For each entry the cosine of its nearest phrase."""
    each = texts()
    vectors = meaning.vectors([phrase for document in each for phrase in document])
    starts = np.cumsum([0, *(len(document) for document in each)])[:-1]

    def scoring(text: str) -> Scores:
        near = vectors @ meaning.vectors([" ".join(words(text))])[0]
        return np.asarray(np.maximum.reduceat(near, starts), np.float32)

    return scoring


def one_vector() -> Scoring:
    vectors = meaning.vectors([" ".join(document) for document in texts()])
    return lambda text: np.asarray(vectors @ meaning.vectors([" ".join(words(text))])[0], np.float32)


def fused(*scorings: Scoring) -> Scoring:
    """Reciprocal rank fusion (Cormack, Clarke and Büttcher 2009) with their k of 60."""

    def scoring(text: str) -> Scores:
        places = [np.argsort(np.argsort(-one(text), kind="stable")) for one in scorings]
        return np.asarray(sum(1 / (61 + place) for place in places), np.float32)

    return scoring


def added(first: Scoring, weight: float, second: Scoring) -> Scoring:
    return lambda text: first(text) + weight * second(text)


def without(name: str, value: object) -> Search:
    """Our search with one part taken out."""
    with patch.object(ranking, name, value):
        index = Index(entries())

    def search(text: str, traits: list[str]) -> list[str]:
        with patch.object(ranking, name, value), patch.object(ranking, "index_of", lambda _: index):
            return asked.ours(text, traits)

    return search


def no_spelling() -> Search:
    index = Index(entries())
    index._spelling = type("Careless", (), {"right": staticmethod(lambda word: word)})()

    def search(text: str, traits: list[str]) -> list[str]:
        with patch.object(ranking, "index_of", lambda _: index):
            return asked.ours(text, traits)

    return search


def no_traits(text: str, traits: list[str]) -> list[str]:
    return asked.ours(text, [])


def gist_of(*names: str) -> Callable[[Explanation], str]:
    """The gist of an entry, when it is only these parts."""
    of = {
        "title": lambda entry: [entry.title],
        "notice": lambda entry: entry.notice,
        "bench": lambda entry: entry.front.bench_words,
        "short": lambda entry: [entry.short],
    }
    return lambda entry: "\n".join(text for name in names for text in of[name](entry))


def everything(entry: Explanation) -> str:
    return "\n".join(written.markdown for written in entry.written.values())


def searches() -> dict[str, Search]:
    """Every way that is compared, by name; ours first, then ours without one part, then others."""
    told = {
        "ours": asked.ours,
        "ours without traits": no_traits,
        "ours without meaning": without("MEANING", 0),
        "ours without spelling": no_spelling(),
        "ours without stems": without("stem", str),
        "ours without bench words": without("gist", gist_of("title", "notice", "short")),
        "ours without the short sentence": without("gist", gist_of("title", "notice", "bench")),
        "ours without what is happening": without("story", lambda entry: ""),
        "ours with every part of the text": without("story", everything),
        "BM25": by_score(bm25()),
        "fuzzy": by_score(fuzzy()),
        "BM25 + fuzzy": by_score(added(bm25(), 0.7, fuzzy())),
    }
    if meaning.available():
        told |= {
            "meaning, nearest phrase": by_score(nearest_phrase()),
            "meaning, one vector an entry": by_score(one_vector()),
            "BM25 + meaning, nearest phrase": by_score(added(bm25(), 0.7, nearest_phrase())),
            "BM25 + meaning, one vector": by_score(added(bm25(), 0.7, one_vector())),
            "BM25, fuzzy, meaning by rank": by_score(fused(bm25(), fuzzy(), nearest_phrase())),
        }
    return told


def misspelt(phrase: Phrase, chance: random.Random) -> Phrase:
    """The same with one of every six words misspelt, the longest first: letters swapped, lost or doubled."""
    said = phrase.text.split()
    longest = sorted(range(len(said)), key=lambda at: -len(said[at]))[: max(1, len(said) // 6)]
    for at in longest:
        word, cut = said[at], chance.randrange(1, max(2, len(said[at]) - 2))
        changed = (
            word[:cut] + word[cut + 1 : cut + 2] + word[cut : cut + 1] + word[cut + 2 :],
            word[:cut] + word[cut + 1 :],
            word[:cut] + word[cut : cut + 1] + word[cut:],
        )
        said[at] = chance.choice(changed)
    return replace(phrase, text=" ".join(said))


def with_slips(name: str) -> list[Phrase]:
    chance = random.Random(7)
    return [misspelt(phrase, chance) for phrase in asked.phrases(name)]


def a_thousand() -> dict[str, Explanation]:
    """A collection of 1,000 entries: copies of ours, each with words of its own among the shared ones."""
    ours = list(entries().values())
    made = {}
    for number in range(1000):
        turn, at = divmod(number, len(ours))
        notice = [with_own_words(phrase, turn) for phrase in ours[at].notice]
        key = f"{ours[at].key}-{turn}"
        made[key] = replace(ours[at], key=key, front=ours[at].front.model_copy(update={"notice": notice}))
    return made


def with_own_words(phrase: str, turn: int) -> str:
    """Every third word of a phrase becomes one that only this turn has; the first turn stays as it is."""
    ending = f"{chr(ord('a') + turn)}x" if turn else ""
    return " ".join(word + ending if at % 3 == 2 else word for at, word in enumerate(phrase.split()))


def speed() -> tuple[float, float]:
    """(ms to answer the slowest of a few queries, ms to make the index) at 1,000 entries."""
    many = a_thousand()
    with patch.object(ranking, "_kept", []):
        begin = time.perf_counter()
        ranking.index_of(many)
        making = (time.perf_counter() - begin) * 1000
        return max(milliseconds(partial(finding.rank, text, (), many)) for text in LONG_AND_SHORT), making


def row(name: str, figures: list[Figures], each: float) -> str:
    cells = [f"{one.reciprocal_rank:.3f}  {one.first:.3f}  {one.first_five:.3f}" for one in figures]
    return f"{name:<33}  {'   '.join(cells)}  {each:6.2f}"


def compare(sets: list[list[Phrase]]) -> None:
    print(f"{'':<33}  {'tuning':<19}   {'held apart':<19}   {'held apart, misspelt':<19}     ms")
    print(f"{'':<33}  {'   '.join(['MRR    first  five '] * 3)}    each")
    for name, search in searches().items():
        begin = time.perf_counter()
        figures = [asked.judge(search, one) for one in sets]
        each = (time.perf_counter() - begin) * 1000 / sum(one.phrases for one in figures)
        print(row(name, figures, each))


def by_register() -> None:
    print("\nOurs on the held-apart phrases, by how they are said:")
    apart = asked.phrases("held_apart")
    for register in ("everyday", "bench", "story"):
        got = asked.judge(asked.ours, [one for one in apart if one.register == register])
        print(
            f"  {register:<9} {got.phrases:>4} phrases  MRR {got.reciprocal_rank:.3f}  first five {got.first_five:.3f}"
        )


def offers() -> None:
    print(
        f"\nChecks offered before posting (score from {offering.SURE}, {offering.LEAD} times the best other):"
    )
    for name in SETS:
        made = asked.judge_offers(asked.phrases(name), entries())
        print(
            f"  {name:<10}  offered to {made.to} of {made.phrases} phrases, right for {made.right}: precision "
            f"{made.precision:.3f}; {made.checkable} phrases have a check that answers them"
        )


def main() -> None:
    tuning, apart = (asked.phrases(name) for name in SETS)
    print(f"{len(entries())} entries, {len(tuning)} phrases for tuning, {len(apart)} held apart\n")
    compare([tuning, apart, with_slips("held_apart")])
    by_register()
    offers()
    answering, making = speed()
    print(f"\nAt 1,000 entries: {answering:.1f} ms for a query, {making:.0f} ms to make the index.")
    if "misses" in sys.argv:
        for phrase, keys in asked.misses(asked.ours, tuning):
            print(f"- {phrase.text}\n    {phrase.right} but {keys}")


if __name__ == "__main__":
    import django

    django.setup()
    main()
