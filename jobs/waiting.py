"""How long people take to answer, and what a call would gain: learned from waits that are over and waits that still run. It knows no rows.

A wait is counted in whole days of the calendar: 0 is an answer on the day of the asking. A wait that still runs, or ended without an
answer of theirs, is *censored*: of it we know only that no answer came until then. Leaving such waits out would make people look quicker
than they are. Two things come from waits:

the curve   the product-limit estimate of Kaplan and Meier (1958) of the share that still waits after each day, with the variance of
            Greenwood (1926): what was seen, nothing else. One censored on a day counts as waiting on that day (the usual convention).
the pace    a chance for each day that the answer comes on it, if it had not come before (a discrete hazard), one and the same within each
            of a few stretches of days. It has a prior, so that it speaks from the first day on, and is what chances are reckoned from.

The prior is PRIOR_PEOPLE imagined customers who answer exactly as GUESS says: in each stretch they add their days of waiting and their
answers to the counted ones (the mean of a beta distribution with those pseudo-counts; conjugate, so that is all there is to it). GUESS is a
guess, common practice, no source; so is the number of people it counts for. Counted waits outweigh it as they grow.

A call is worth what asking anew is worth, until our own calls say otherwise: its prior is the pace of somebody who was asked today, and
counts as PRIOR_CALLS calls. All waits are taken for alike, whoever waits and however much it is about: a small shop has too few to part.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import prod

PRIOR_PEOPLE = 8.0  # as many as the library's guess about a try counts for (`jobs.trying.posterior`)
PRIOR_CALLS = 8.0
SOON = 7  # days within which a call should bring its answer

# (first day of a stretch, chance of an answer on each day of it). By this guess about a third of all are still waiting after a
# week, a fifth after two, an eighth after four.
Guess = Sequence[tuple[int, float]]
GUESS: Guess = ((0, 0.2), (1, 0.2), (2, 0.15), (4, 0.09), (8, 0.06), (15, 0.03), (29, 0.015))


@dataclass(frozen=True)
class Wait:
    """One wait of whole days; `answered` is False where it is censored. Raises ValueError for less than no days."""

    days: int
    answered: bool

    def __post_init__(self) -> None:
        if self.days < 0:
            raise ValueError(f"nobody waits {self.days} days")


@dataclass(frozen=True)
class Step:
    """A day on which answers came: how many still waited on it, how many answered, and the share that waits on after it.

    `variance` is Greenwood's, of that share; None once nobody is left, where his sum says nothing.
    """

    day: int
    at_risk: int
    answered: int
    survival: float
    variance: float | None


@dataclass(frozen=True)
class Calls:
    """Calls of ours whose week is over: how many, and how many an answer followed within `SOON` days."""

    tries: int = 0
    answered: int = 0

    def __post_init__(self) -> None:
        if not 0 <= self.answered <= self.tries:
            raise ValueError(f"{self.answered} of {self.tries} is no share")


@dataclass(frozen=True)
class Pace:
    """The chance of an answer on each day, by stretches: `firsts` rise from 0, the last stretch has no end. Chances are above 0."""

    firsts: tuple[int, ...]
    hazards: tuple[float, ...]

    def hazard(self, day: int) -> float:
        """The chance that the answer comes on the `day`-th day, if it did not come before."""
        return self.hazards[sum(first <= day for first in self.firsts) - 1]

    def survival(self, day: int) -> float:
        """The share that still waits when the `day`-th day is over; -1 is before the first."""
        return self._silent(0, day + 1)

    def comes_within(self, days: int, waited: int) -> float:
        """The chance that the answer comes by itself on one of the next `days` days, after `waited` days. Today counts as over."""
        return 1 - self._silent(waited + 1, days)

    def comes_when_asked(self, days: int = SOON) -> float:
        """The chance that it comes within `days` days when somebody is asked today, today among them."""
        return 1 - self._silent(0, days)

    def _silent(self, first: int, days: int) -> float:
        return prod(1 - self.hazard(first + n) for n in range(days))


def kaplan_meier(waits: Iterable[Wait]) -> list[Step]:
    """The curve: one step for each day on which an answer came, in order; none where none came. Before the first step it is 1."""
    ended = Counter(waits)
    left, survival, greenwood = ended.total(), 1.0, 0.0
    steps = []
    for day in sorted({wait.days for wait in ended}):
        answered = ended[Wait(day, True)]
        if answered:
            survival *= 1 - answered / left
            still = left - answered
            greenwood += answered / (left * still) if still else 0.0
            variance = survival**2 * greenwood if still else None
            steps.append(Step(day, left, answered, survival, variance))
        left -= answered + ended[Wait(day, False)]
    return steps


def median(curve: Iterable[Step]) -> int | None:
    """The first day after which at most half still wait, or None where the curve does not come down that far."""
    # A share that is one half on paper may be a hair above it as a product of fractions.
    return next((step.day for step in curve if step.survival <= 0.5 + 1e-12), None)


def pace(waits: Iterable[Wait], guess: Guess = GUESS, people: float = PRIOR_PEOPLE) -> Pace:
    """What the counted waits make of the guess, which counts as so many people.

    Raises ValueError for a guess that does not rise from day 0 with chances above 0 and below 1, or that counts for nobody.
    """
    firsts = tuple(first for first, _chance in guess)
    if firsts[:1] != (0,) or any(late <= early for early, late in pairwise(firsts)):
        raise ValueError("a guess has stretches that rise from day 0")
    if people <= 0 or not all(0 < chance < 1 for _first, chance in guess):
        raise ValueError("a guess counts for somebody, and no chance of it is 0 or 1")
    counted = Counter(waits)
    hazards = []
    imagined = people  # those of the guess who still wait
    for place, (first, chance) in enumerate(guess):
        after = firsts[place + 1] if place + 1 < len(firsts) else None
        left = imagined * (1 - chance) ** (after - first) if after is not None else 0.0
        answers = imagined - left
        counted_answers, counted_days = _within(counted, first, after)
        hazards.append((answers + counted_answers) / (answers / chance + counted_days))
        imagined = left
    return Pace(firsts, tuple(hazards))


def chance_with_call(known: Pace, calls: Calls) -> float:
    """The chance of an answer within `SOON` days of a call: that of somebody who is asked today, moved by our own calls."""
    return (PRIOR_CALLS * known.comes_when_asked() + calls.answered) / (PRIOR_CALLS + calls.tries)


def gain(known: Pace, waited: int, money: int, calls: Calls = Calls()) -> float:
    """What a call would gain, in minor units: the money that waits, times what a call adds to the chance of an answer within a week.

    That is the chance after a call less the chance that it comes by itself after `waited` days; nothing where a call would add nothing.
    """
    return money * max(0.0, chance_with_call(known, calls) - known.comes_within(SOON, waited))


def _within(counted: Counter[Wait], first: int, after: int | None) -> tuple[int, int]:
    """How many answers fell on the days from `first` to before `after`, and how many days people waited in that stretch."""
    answers = days = 0
    for wait, number in counted.items():
        last = wait.days if after is None else min(wait.days, after - 1)
        days += number * max(0, last - first + 1)
        if wait.answered and first <= wait.days == last:
            answers += number
    return answers, days
