"""Labelled phrases for "is this covered?", and how often the answers are right.

Each phrase is asked of several warranties: three that never change; its own fault covered, ended and named as not covered; another
fault of the same mechanism covered; and its mechanism covered with no fault written down. A confident answer (yes, no) is
right when everything promised about a fault that the phrase may be says just that; an accident is always for a look.
"""

import tomllib
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path

from jobs import library
from jobs.covering import Answer, Promise, rule
from jobs.noticing import from_words

HERE = Path(__file__).parent / "covered_phrases"
TODAY = date(2027, 3, 15)
RUNNING, ENDED = date(2027, 11, 2), date(2027, 2, 2)


@dataclass(frozen=True)
class Phrase:
    text: str
    about: frozenset[str]
    traits: list[str]
    accident: str


@cache
def phrases(name: str) -> list[Phrase]:
    """The phrases of one set: "tuning" or "held_apart"."""
    with (HERE / f"{name}.toml").open("rb") as file:
        rows = tomllib.load(file)["phrase"]
    return [
        Phrase(row["text"], frozenset(row["about"]), row["traits"], row.get("accident", "")) for row in rows
    ]


def promise(pk: int, key: str, until: date | None, written: bool = True) -> Promise:
    why_not = "" if until else "We told you about this and it was left as it is."
    explanations = frozenset({key}) if written else frozenset[str]()
    return Promise(pk, key, key.partition("/")[0], until, why_not, explanations=explanations)


def warranty(*told: tuple[str, date | None]) -> list[Promise]:
    return [promise(pk, key, until) for pk, (key, until) in enumerate(told, start=1)]


STANDING = {
    "leaf shutter camera": warranty(
        ("transport/lever-stops-half-way", RUNNING),
        ("leaf_shutter/slow-speeds-drag", RUNNING),
        ("lens/haze-inside", ENDED),
        ("leaf_shutter/top-speed-slow", None),
    ),
    "reflex": warranty(
        ("focal_shutter/dark-side-at-fast-speeds", RUNNING),
        ("seals/light-seals-gone", RUNNING),
        ("finder/mirror-stays-up", ENDED),
        ("lens/fungus", None),
    ),
    "rangefinder camera": warranty(
        ("rangefinder/one-image-above-the-other", RUNNING),
        ("focus/stiff-focus-ring", RUNNING),
        ("counter/does-not-move", ENDED),
        ("aperture/oily-iris", ENDED),
        ("covering/lifting-or-shrunk", None),
    ),
}


def warranties(phrase: Phrase) -> Iterator[list[Promise]]:
    yield from STANDING.values()
    for key in sorted(phrase.about)[:1]:
        for until in (RUNNING, ENDED, None):
            yield [promise(1, key, until), promise(2, "body/tripod-bush-loose", RUNNING)]
        yield [promise(1, key, RUNNING, written=False)]
        mechanism = key.partition("/")[0]
        others = [each for each in library.entries() if each.startswith(f"{mechanism}/")]
        yield from ([promise(1, each, RUNNING)] for each in others if each not in phrase.about)


def truth(phrase: Phrase, promises: list[Promise]) -> Answer:
    mechanisms = {key.partition("/")[0] for key in phrase.about}
    about = [
        each
        for each in promises
        if each.explanations & phrase.about or (not each.explanations and each.mechanism in mechanisms)
    ]
    said = {Answer.NO if each.until is None or each.until < TODAY else Answer.YES for each in about}
    return said.pop() if len(said) == 1 and not phrase.accident else Answer.LOOK


@dataclass(frozen=True)
class Figures:
    """Of all askings: how many were answered how, how many confident ones were right, and which were not."""

    answers: Counter[Answer]
    right: Counter[Answer]
    could: int  # askings to which a confident answer would be right
    wrong: list[tuple[str, str, str]]

    def precision(self, *answers: Answer) -> float:
        """Of confident answers; 1 when there were none."""
        given = sum(self.answers[each] for each in answers)
        return sum(self.right[each] for each in answers) / given if given else 1.0


def judge(asked: list[Phrase]) -> Figures:
    answers, right, wrong, could = Counter[Answer](), Counter[Answer](), list[tuple[str, str, str]](), 0
    entries = library.entries()
    for phrase in asked:
        noticed = from_words(phrase.text, phrase.traits, entries)
        for promises in warranties(phrase):
            said, true = rule(promises, noticed, TODAY), truth(phrase, promises)
            answers[said.kind] += 1
            could += true is not Answer.LOOK
            right[said.kind] += said.kind is true
            if said.kind not in (true, Answer.LOOK):
                wrong.append((phrase.text, said.kind, said.promise.what if said.promise else ""))
    return Figures(answers, right, could, wrong)
