"""Before you post it: which check, if any, to offer to somebody who is telling us what is wrong.

Only a matter of use whose entry has a `[check]` is offered: nothing is broken, and an owner can look from outside. A wrong
offer costs trust, a missing one costs nothing, so an offer needs a lead over everything that cannot be checked at home.
"""

from collections.abc import Iterable, Mapping

from .explanation import Explanation
from .finding import rank

MOST = 2  # checks offered at once
# Set on the tuning phrases; tests/benchmarks/library_search.py shows how often an offer is right.
SURE = 0.45  # score below which nothing is offered
LEAD = 1.3  # how many times the score of the best entry that cannot be checked at home an offer must have


def offers(
    story: str, traits: Iterable[str] = (), entries: Mapping[str, Explanation] | None = None
) -> list[Explanation]:
    """At most two entries whose check is worth a look before posting, the likeliest first; mostly none.

    `story` is what the owner typed, `traits` what we know of the camera (none: not known), `entries` the collection
    (None: as shipped). An entry that the camera's known traits rule out is never offered.
    """
    has = frozenset(traits)
    hits = rank(story, has, entries)
    others = max((hit.score for hit in hits if not can_offer(hit.entry)), default=0.0)
    fit = [hit for hit in hits if can_offer(hit.entry) and (not has or hit.entry.traits <= has)]
    sure = [hit for hit in fit if hit.score >= max(SURE, LEAD * others)]
    return [hit.entry for hit in sure][:MOST]


def can_offer(entry: Explanation) -> bool:
    """Whether an owner can check it at home and nothing is broken when that was it."""
    return entry.front.check is not None and entry.bearing == "use"
