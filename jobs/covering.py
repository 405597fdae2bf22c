"""Is this covered? What a warranty looks like saying about something that the customer notices. It knows no rows.

Three answers: it looks covered (yes), it looks not covered (no), or we must see it (look). A wrong promise costs more than a
look, so yes and no are only said where one thing stands out and the warranty names it. The workshop decides after it has
looked, whatever is said here; the page says so, and that rights by law are untouched.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from jobs.words import Mechanism

SURE = 0.40  # score below which we say nothing from words; set on the tuning phrases, see tests/jobs/test_covering_figures.py
LEAD = 1.2  # how many times the score of the next mechanism the best must have


class Answer(StrEnum):
    YES = "yes"
    NO = "no"
    LOOK = "look"


class Reason(StrEnum):
    """Why. The first three are confident; all others need a look."""

    COVERED = "covered"
    ENDED = "ended"
    NAMED = "named"
    FELL = "fell"
    WET = "wet"
    OPENED = "opened"
    HEAT = "heat"
    ACCIDENT = "accident"
    NOTHING_FITS = "nothing_fits"
    UNSURE = "unsure"
    IN_USE = "in_use"
    ELSEWHERE = "elsewhere"
    ANOTHER_FAULT = "another_fault"
    MIXED = "mixed"
    TOLD = "told"


ACCIDENTS = frozenset({Reason.FELL, Reason.WET, Reason.OPENED, Reason.HEAT, Reason.ACCIDENT})


@dataclass(frozen=True, slots=True)
class Promise:
    """One thing of a warranty: covered to the end of `until`, or named as not covered (`until` is None, `why_not` says why).

    `explanations`: keys of the library that the findings behind it used; none when nobody wrote down which fault it was.
    `starts_on` is for telling only: what is noticed a day before a reckoned start is covered all the same.
    """

    pk: int
    what: str
    mechanism: str
    until: date | None
    why_not: str = ""
    starts_on: date | None = None
    explanations: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Heard:
    """How well a mechanism answers to what was said, from 0 (not at all) to about 1."""

    mechanism: str
    score: float


@dataclass(frozen=True, slots=True)
class Noticed:
    """What the customer notices: mechanisms best first, and the explanations (keys) it is most like.

    `accident`: one of `ACCIDENTS`, when they told of one. `chosen`: the promise whose sentence they pressed; then nothing is guessed.
    """

    mechanisms: tuple[Heard, ...] = ()
    like: frozenset[str] = frozenset()
    accident: Reason | None = None
    chosen: int | None = None


@dataclass(frozen=True, slots=True)
class Ruling:
    """An answer, why, and the promise that it rests on (None: on none). `day` is the last day of that promise."""

    kind: Answer
    reason: Reason
    promise: Promise | None = None
    day: date | None = None

    @property
    def cover_pk(self) -> int | None:
        return self.promise.pk if self.promise else None


def rule(promises: Iterable[Promise], noticed: Noticed, today: date) -> Ruling:
    """What looks to be the case on `today`. The same input gives the same answer, in whatever order the promises come."""
    promises = sorted(promises, key=lambda each: each.pk)
    if noticed.accident:
        return _look(noticed.accident)
    if noticed.chosen is not None:
        return _of_chosen(promises, noticed, today)
    if doubt := _doubt(noticed.mechanisms):
        return _look(doubt)
    return _of_mechanism(promises, noticed, today)


def _doubt(heard: tuple[Heard, ...]) -> Reason | None:
    """Why words alone decide nothing, or None where one mechanism stands out and can be a matter of a warranty."""
    if not heard or heard[0].score < SURE:
        return Reason.NOTHING_FITS
    if heard[0].mechanism == Mechanism.HANDLING:
        return Reason.IN_USE
    if heard[0].mechanism == Mechanism.ACCIDENT:
        return Reason.ACCIDENT
    if len(heard) > 1 and heard[0].score < LEAD * heard[1].score:
        return Reason.UNSURE
    return None


def _of_chosen(promises: list[Promise], noticed: Noticed, today: date) -> Ruling:
    """A sentence that was pressed speaks of its own promise, and of any other that was made about the same fault."""
    about = [each for each in promises if each.pk == noticed.chosen or each.explanations & noticed.like]
    return _together(about, today) if about else _look(Reason.NOTHING_FITS)


def _of_mechanism(promises: list[Promise], noticed: Noticed, today: date) -> Ruling:
    best = noticed.mechanisms[0].mechanism
    here = [each for each in promises if each.mechanism == best]
    if not here:
        # A promise that nobody put under a mechanism may be the one.
        return _look(Reason.ELSEWHERE if all(each.mechanism for each in promises) else Reason.NOTHING_FITS)
    same_fault = [each for each in here if each.explanations & noticed.like]
    unwritten = [each for each in here if not each.explanations]
    if not same_fault and unwritten and all(each.until is None for each in unwritten):
        return _look(Reason.TOLD, unwritten[0])
    about = same_fault or unwritten
    return _together(about, today) if about else _look(Reason.ANOTHER_FAULT, here[0])


def _together(about: list[Promise], today: date) -> Ruling:
    """The answer that all of them give; where they differ, a look. Of several days the one that promises less is named."""
    named = [each for each in about if each.until is None]
    dated = [(each.until, each) for each in about if each.until is not None]
    ended = [pair for pair in dated if pair[0] < today]
    if named and not dated:
        return Ruling(Answer.NO, Reason.NAMED, named[0])
    if dated and not named and not ended:
        until, first = min(dated, key=lambda pair: pair[0])
        return Ruling(Answer.YES, Reason.COVERED, first, until)
    if dated and not named and len(ended) == len(dated):
        until, last = max(dated, key=lambda pair: pair[0])
        return Ruling(Answer.NO, Reason.ENDED, last, until)
    return _look(Reason.MIXED, about[0])


def _look(reason: Reason, promise: Promise | None = None) -> Ruling:
    return Ruling(Answer.LOOK, reason, promise, promise.until if promise else None)
