"""How far a share that was counted a few times can be trusted."""

from math import sqrt
from statistics import NormalDist


def wilson(hits: int, tries: int, confidence: float = 0.95) -> tuple[float, float]:
    """The Wilson score interval of a share: (low, high), both from 0 to 1. No tries at all: (0, 1).

    Chosen because it stays inside 0 to 1 and holds what it promises for few tries (Brown, Cai and DasGupta, Statistical
    Science 16, 2001, advise it up to about forty). Raises ValueError where hits are not between 0 and tries.
    """
    if not 0 <= hits <= tries:
        raise ValueError(f"{hits} of {tries} is no share")
    if tries == 0:
        return 0.0, 1.0
    z2 = NormalDist().inv_cdf(0.5 + confidence / 2) ** 2
    share = hits / tries
    middle = share + z2 / (2 * tries)
    reach = sqrt(z2 * (share * (1 - share) + z2 / (4 * tries)) / tries)
    low, high = (middle - reach) / (1 + z2 / tries), (middle + reach) / (1 + z2 / tries)
    # At the ends the exact values are 0 and 1; rounding would miss them by a hair.
    return (0.0 if hits == 0 else low), (1.0 if hits == tries else high)
