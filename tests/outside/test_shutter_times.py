"""Shutter arithmetic against published readings and rules.

Series: marks are halved exactly (table in US Army course SS0508; scantips.com fstop2). Tolerance: JIS B 7091 as quoted by a Japanese
measurement blog (ohkin.mydns.jp/archives/69); the standard itself was not seen. Readings: a darkroom school page; an owner's tester, 2011.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs import shutter


@pytest.mark.parametrize(
    ("mark", "denominator"), [("1/15", 16), ("1/60", 64), ("1/125", 128), ("1/1000", 1024)]
)
def test_a_mark_stands_for_an_exact_power_of_two(mark: str, denominator: int) -> None:
    assert shutter.TARGETS[mark] == pytest.approx(1_000_000 / denominator, abs=0.5)


def test_the_schools_reading_at_the_sixtieth_is_a_hundredth_of_a_stop_short() -> None:
    """0.0155 s at the 1/60 mark, "exactly 1/64": -0.0116 stop, and not the -0.1047 that 1/60 itself would give."""
    assert shutter.reading("1/60", 15_500).stops == pytest.approx(-0.0116, abs=0.0005)


@pytest.mark.parametrize(
    ("mark", "measured_us", "stops"),
    [("1/5", 181_818, -0.138), ("1/10", 90_909, -0.138), ("1/25", 34_483, -0.214), ("1/100", 10_526, 0.074)],
)
def test_the_owners_tester_readings_of_an_old_dial(mark: str, measured_us: int, stops: float) -> None:
    assert shutter.reading(mark, measured_us).stops == pytest.approx(stops, abs=0.001)


@pytest.mark.parametrize(
    ("mark", "shortest", "longest"),
    [("1/60", 52.0, 78.8), ("1/125", 104.0, 157.6), ("1/250", 187.4, 349.7), ("1/500", 374.8, 699.4)],
)
def test_the_quoted_tolerance_in_time(mark: str, shortest: float, longest: float) -> None:
    """Denominators of the longest and shortest time that are within tolerance."""
    assert shutter.reading(mark, round(1e6 / (shortest * 1.002))).within
    assert not shutter.reading(mark, round(1e6 / (shortest * 0.995))).within
    assert shutter.reading(mark, round(1e6 / (longest * 0.998))).within
    assert not shutter.reading(mark, round(1e6 / (longest * 1.005))).within


@given(st.sampled_from(sorted(shutter.TARGETS)))
def test_twice_the_time_is_one_stop_and_half_is_one_less(mark: str) -> None:
    target = shutter.TARGETS[mark]
    assert shutter.stops(target, target) == 0
    assert shutter.stops(2 * target, target) == 1
