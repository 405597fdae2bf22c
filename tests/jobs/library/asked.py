"""Labelled phrases: what people say, and which entries answer it. `tuning` chose the search; `held_apart` only judges it.

Files: `phrases/<name>.toml`, each `[[phrase]]` with text, traits (of the camera, may be empty), right (keys of the entries that
answer it; none: nothing does) and register ("everyday", "bench" or "story").
"""

import tomllib
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from statistics import mean

from jobs.library import Explanation, offers, rank

HERE = Path(__file__).parent / "phrases"
Search = Callable[[str, list[str]], list[str]]  # text, traits -> keys, best first


@dataclass(frozen=True)
class Phrase:
    text: str
    traits: list[str]
    right: list[str]
    register: str


@dataclass(frozen=True)
class Figures:
    """Of one search on one set: the mean of 1/place of the first right entry, and the share with it first and in the first five."""

    reciprocal_rank: float
    first: float
    first_five: float
    phrases: int


@cache
def phrases(name: str) -> list[Phrase]:
    """The phrases of one set: "tuning" or "held_apart"."""
    with (HERE / f"{name}.toml").open("rb") as file:
        rows = tomllib.load(file)["phrase"]
    return [
        Phrase(row["text"], row.get("traits", []), row["right"], row.get("register", "everyday"))
        for row in rows
    ]


def ours(text: str, traits: list[str]) -> list[str]:
    """The search as the site has it."""
    return [hit.entry.key for hit in rank(text, traits)]


def place(keys: list[str], right: Iterable[str]) -> int:
    """At which place the first right entry stands, from 1; 0 when none does."""
    wanted = set(right)
    return next((number for number, key in enumerate(keys, start=1) if key in wanted), 0)


def judge(search: Search, asked: list[Phrase]) -> Figures:
    """The figures of one search on phrases that have an answer."""
    answered = [phrase for phrase in asked if phrase.right]
    places = [place(search(phrase.text, phrase.traits), phrase.right) for phrase in answered]
    return Figures(
        mean(1 / at if at else 0 for at in places),
        mean(at == 1 for at in places),
        mean(1 <= at <= 5 for at in places),
        len(places),
    )


def misses(search: Search, asked: list[Phrase]) -> list[tuple[Phrase, list[str]]]:
    """Phrases whose answer is not among the first five, with what stood there instead."""
    found = [(phrase, search(phrase.text, phrase.traits)[:5]) for phrase in asked if phrase.right]
    return [(phrase, keys) for phrase, keys in found if not place(keys, phrase.right)]


@dataclass(frozen=True)
class Offered:
    """Checks offered before posting: to how many phrases, and to how many of these at least one offer was right."""

    phrases: int
    to: int
    right: int
    checkable: int  # phrases that a check would answer
    wrong: list[tuple[str, list[str]]]

    @property
    def precision(self) -> float:
        return self.right / self.to if self.to else 1.0


def judge_offers(asked: list[Phrase], entries: dict[str, Explanation]) -> Offered:
    """What `offers` does with each phrase as if it were an owner's story."""
    made = [(phrase, [entry.key for entry in offers(phrase.text, phrase.traits)]) for phrase in asked]
    given = [(phrase, keys) for phrase, keys in made if keys]
    right = [phrase for phrase, keys in given if place(keys, phrase.right)]
    wrong = [(phrase.text, keys) for phrase, keys in given if not place(keys, phrase.right)]
    could = [
        phrase for phrase in asked if any(entries[key].front.check for key in phrase.right if key in entries)
    ]
    return Offered(len(asked), len(given), len(right), len(could), wrong)
