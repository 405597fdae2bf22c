"""How the tries of an explanation turn out: the library's starting guess, moved by what this workshop has counted itself."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from django.db.models import Count

from jobs.library import Explanation, facts, prose
from jobs.library.facts import Given
from jobs.models import Tried
from jobs.trying import posterior

IN_ALL = 20  # people weigh "seven of twenty" better than 0.35 (common practice, no source)


@dataclass(frozen=True)
class Odd:
    """One way a try may turn out. `key` is "mechanism/entry:outcome"; `weight` against the others'; `seen`: our own count."""

    key: str
    text: str
    weight: int
    seen: int


def counts(keys: Iterable[str]) -> dict[str, int]:
    """How often this workshop noted each outcome, 0 for one it never met. One query."""
    wanted = list(keys)
    rows = Tried.objects.filter(outcome__key__in=wanted).values("outcome__key").annotate(n=Count("pk"))
    found = {row["outcome__key"]: row["n"] for row in rows.order_by()}
    return {key: found.get(key, 0) for key in wanted}


def key_of(entry: Explanation, outcome: str) -> str:
    """ "lens/haze-inside" and "wipes" -> "lens/haze-inside:wipes"."""
    return f"{entry.key}:{outcome}"


def odds(entry: Explanation, given: Mapping[str, Given]) -> list[Odd]:
    """The outcomes of an entry for one camera, in the library's order; none where it knows fewer than two, or its facts are not noted."""
    try:
        checked = facts.check(entry.fields, given)
    except ValueError:
        return []
    outcomes = entry.outcomes
    if len(outcomes) < 2:
        return []
    keys = [key_of(entry, one.key) for one in outcomes]
    seen = counts(keys)
    weights = posterior([one.weight for one in outcomes], [seen[key] for key in keys])
    return [
        Odd(key, prose.line_to_text(one.text, checked), weight, seen[key])
        for key, one, weight in zip(keys, outcomes, weights, strict=True)
    ]


def of_twenty(weights: Sequence[int]) -> list[int]:
    """Weights as shares of twenty, each at least one; the largest remainders get what rounding leaves over.

    They come to twenty exactly, unless more than that many ways share them. Raises ValueError for a weight below 1.
    """
    if any(weight < 1 for weight in weights):
        raise ValueError(weights)
    every = sum(weights)
    shares = [max(1, weight * IN_ALL // every) for weight in weights]
    by_rest = sorted(range(len(weights)), key=lambda i: (-(weights[i] * IN_ALL % every), i))
    for i in by_rest:
        if sum(shares) < IN_ALL and shares[i] == weights[i] * IN_ALL // every:
            shares[i] += 1
    while sum(shares) > IN_ALL and max(shares) > 1:
        # Of equal shares the less likely one gives way, so that what is likelier never has the smaller share.
        shares[max(range(len(shares)), key=lambda i: (shares[i], -weights[i]))] -= 1
    return shares
