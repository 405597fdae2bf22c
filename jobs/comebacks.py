"""How often mended things come back under warranty, per mechanism, with numbers alone.

A share that was counted a few times says little, so each has its Wilson interval (`jobs.intervals`), and a mechanism that was
mended fewer than `FEW` times says only that.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.translation import gettext as _

from jobs.intervals import wilson

FEW = 5


@dataclass(frozen=True, slots=True)
class Mended:
    """One mechanism of one job that went home with a warranty on it: did it come back in that time, and had the same failed again?

    Raises ValueError for the same having failed in something that did not come back.
    """

    mechanism: str
    came_back: bool
    same_again: bool = False

    def __post_init__(self) -> None:
        if self.same_again and not self.came_back:
            raise ValueError(self)


@dataclass(frozen=True, slots=True)
class Tally:
    """Of one mechanism: times mended, came back, and the same failed again. `low` and `high` bound the share that came back, 0 to 1."""

    mechanism: str
    mended: int
    came_back: int
    same_again: int
    low: float
    high: float

    @property
    def share(self) -> float:
        return self.came_back / self.mended

    @property
    def is_few(self) -> bool:
        return self.mended < FEW


def tallies(rows: Iterable[Mended]) -> list[Tally]:
    """One for each mechanism: what surely comes back most (by the lower bound) first; those mended fewer than `FEW` times last."""
    by_mechanism: dict[str, list[Mended]] = defaultdict(list)
    for row in rows:
        by_mechanism[row.mechanism].append(row)
    return in_order(
        tally(mechanism, len(here), sum(row.came_back for row in here), sum(row.same_again for row in here))
        for mechanism, here in by_mechanism.items()
    )


def tally(mechanism: str, mended: int, came_back: int, same_again: int) -> Tally:
    """From counts that somebody else made, a database for one. Raises ValueError unless same_again <= came_back <= mended."""
    if not same_again <= came_back:
        raise ValueError((same_again, came_back))
    return Tally(mechanism, mended, came_back, same_again, *wilson(came_back, mended))


def in_order(found: Iterable[Tally]) -> list[Tally]:
    """As `tallies` has them."""
    return sorted(found, key=lambda each: (each.is_few, -each.low, -each.share, -each.mended, each.mechanism))


def in_words(tally: Tally) -> str:
    """ "2 of 31 came back; 2 to 21 in a hundred". Hundredths are rounded to the nearest."""
    came = _("%(hits)s of %(tries)s came back") % {"hits": tally.came_back, "tries": tally.mended}
    if tally.is_few:
        return _("%(came)s; too few to say more") % {"came": came}
    if tally.came_back == 0:
        return _("None of %(tries)s came back; at most %(high)s in a hundred") % {
            "tries": tally.mended,
            "high": round(tally.high * 100),
        }
    return _("%(came)s; %(low)s to %(high)s in a hundred") % {
        "came": came,
        "low": round(tally.low * 100),
        "high": round(tally.high * 100),
    }
