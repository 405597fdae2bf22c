"""Shutter times against the true series, with numbers alone.

Dials are engraved 1/15, 1/30, 1/60, 1/125 ... but each time is half the one before, so the targets are exact powers of two:
1/16, 1/32, 1/64, 1/128 s (the marking rule of ISO 516 and JIS B 7091). An error is counted in stops, log2(measured / target):
positive means longer, more light. Tolerance: 0.3 stop at 1/125 s and slower, 0.45 stop at the faster ones, as JIS B 7091 is
quoted; both standards call that a target for makers, not an acceptance test, and any page that shows it says so.
"""

from dataclasses import dataclass
from math import log2

# Engraved mark -> target in microseconds, the true series.
TARGETS: dict[str, int] = {
    "1": 1_000_000,
    "1/2": 500_000,
    "1/4": 250_000,
    "1/8": 125_000,
    "1/15": 62_500,
    "1/30": 31_250,
    "1/60": 15_625,
    "1/125": 7_813,
    "1/250": 3_906,
    "1/500": 1_953,
    "1/1000": 977,
}
# Older dials do not halve; each mark is then its own target.
OLD_MARKS: dict[str, int] = {
    "1/5": 200_000,
    "1/10": 100_000,
    "1/25": 40_000,
    "1/50": 20_000,
    "1/100": 10_000,
    "1/300": 3_333,
}
SLOWEST_FAST_MARK_US = 7_813


@dataclass(frozen=True)
class Reading:
    """One mark: target and measured in microseconds, error and tolerance in stops."""

    mark: str
    target_us: int
    measured_us: int
    stops: float
    tolerance: float

    @property
    def within(self) -> bool:
        return abs(self.stops) <= self.tolerance


def stops(measured_us: int, target_us: int) -> float:
    """log2(measured / target). Raises ValueError unless both are positive."""
    if measured_us <= 0 or target_us <= 0:
        raise ValueError((measured_us, target_us))
    return log2(measured_us / target_us)


def tolerance(target_us: int) -> float:
    return 0.3 if target_us >= SLOWEST_FAST_MARK_US else 0.45


def reading(mark: str, measured_us: int) -> Reading:
    """Judge one measured time. Raises KeyError for a mark that is on no dial we know."""
    target = TARGETS.get(mark) or OLD_MARKS[mark]
    return Reading(mark, target, measured_us, stops(measured_us, target), tolerance(target))
