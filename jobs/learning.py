"""What the bench's own closed jobs say about a story: counts, and a ranking. It knows no rows.

A case is one closed job: the symptoms of its story, the traits of its item, and the explanations that turned out true. From
cases come two things, and neither is ever told to a customer as a fact:

counts   "7 of 9 such stories here": such stories are the cases whose story has every symptom of the one that is asked about.
         Plain counting, with a Wilson interval. Fewer than FEWEST such stories say nothing.
ranking  a multinomial naive Bayes over symptoms and traits, in which every share is smoothed by a symmetric Dirichlet prior: each
         count begins at ALPHA instead of nothing. ALPHA = 1 (Laplace) says "as if each had been seen once"; it decides while
         cases are few and is outweighed as they grow. Common practice; not tuned, for a small shop has nothing to tune it on.
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property
from math import exp, fsum, log

from jobs.intervals import wilson

ALPHA = 1.0
FEWEST = 3  # such stories; below that a count is an anecdote


@dataclass(frozen=True)
class Case:
    """One closed job. `true` holds keys of explanations; none is a case too: nothing that the library has was behind it."""

    symptoms: frozenset[str]
    traits: frozenset[str] = frozenset()
    true: frozenset[str] = frozenset()

    @property
    def features(self) -> list[str]:
        return features(self.symptoms, self.traits)


@dataclass(frozen=True)
class Count:
    """How often one explanation turned out true: `hits` of `tries` such stories."""

    explanation: str
    hits: int
    tries: int

    @property
    def interval(self) -> tuple[float, float]:
        """Between which shares it is likely to lie (Wilson, 95 %)."""
        return wilson(self.hits, self.tries)


def features(symptoms: Iterable[str], traits: Iterable[str]) -> list[str]:
    """Symptoms and traits as one list of things seen, sorted; a prefix keeps a trait from looking like a symptom."""
    return sorted({f"symptom:{each}" for each in symptoms} | {f"trait:{each}" for each in traits})


@dataclass(frozen=True)
class Learned:
    """What the cases taught. Made once, asked often."""

    cases: tuple[Case, ...]
    alpha: float = ALPHA
    _true: Counter[str] = field(init=False, default_factory=Counter)
    _seen: dict[str, Counter[str]] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        if not self.alpha > 0:
            raise ValueError(
                "alpha must be above 0: without it one thing never seen would rule out everything"
            )
        for case in self.cases:
            for explanation in case.true:
                self._true[explanation] += 1
                self._seen.setdefault(explanation, Counter()).update(case.features)

    @cached_property
    def known(self) -> frozenset[str]:
        """Every symptom and trait that any case has."""
        return frozenset(feature for case in self.cases for feature in case.features)

    def counts(self, symptoms: Iterable[str]) -> list[Count]:
        """The explanations that turned out true for such stories, the most frequent first; none where such stories are too few."""
        asked = frozenset(symptoms)
        such = [case for case in self.cases if asked <= case.symptoms] if asked else []
        if len(such) < FEWEST:
            return []
        hits = Counter(explanation for case in such for explanation in case.true)
        ordered = sorted(hits.items(), key=lambda hit: (-hit[1], hit[0]))
        return [Count(explanation, number, len(such)) for explanation, number in ordered]

    def ranking(self, symptoms: Iterable[str], traits: Iterable[str]) -> list[tuple[str, float]]:
        """Each explanation that ever turned out true here, with its share of the belief (together 1), the most likely first."""
        seen = [feature for feature in features(symptoms, traits) if feature in self.known]
        weights = {explanation: self._weight(explanation, seen) for explanation in self._true}
        shares = _shares(weights)
        return sorted(shares.items(), key=lambda share: (-share[1], share[0]))

    def _weight(self, explanation: str, seen: list[str]) -> float:
        """The logarithm of prior times likelihoods, up to a constant. Sums of logarithms, because products of many shares vanish."""
        total = sum(self._true.values())
        prior = log(self._true[explanation] + self.alpha) - log(total + self.alpha * len(self._true))
        if not seen:
            return prior
        counted = self._seen[explanation]
        room = log(sum(counted.values()) + self.alpha * len(self.known))
        return prior + fsum(log(counted[feature] + self.alpha) - room for feature in seen)


def _shares(weights: dict[str, float]) -> dict[str, float]:
    """Logarithms as shares that add up to one. The largest is taken out first, so that none overflows and one always stays."""
    if not weights:
        return {}
    most = max(weights.values())
    total = fsum(exp(weight - most) for weight in weights.values())
    return {key: exp(weight - most) / total for key, weight in weights.items()}
