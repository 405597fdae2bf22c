"""Our curve of waits against others' figures: statsmodels on waits drawn by lot, and a series that textbooks print.

The series is the 21 patients who were given 6-mercaptopurine (Freireich and others, Blood 21, 1963): weeks in remission, "+" for those
who were still in remission when last seen. It is the usual example of the product-limit estimate; its values, and the median of 23
weeks, are from memory, and statsmodels reckons them once more here.
"""

import random
from math import sqrt

import numpy as np
import pytest
from statsmodels.duration.survfunc import SurvfuncRight

from jobs.waiting import Wait, kaplan_meier, median, pace

REMISSION = "6 6 6 6+ 7 9+ 10 10+ 11+ 13 16 17+ 19+ 20+ 22 23 25+ 32+ 32+ 34+ 35+"
PRINTED = {6: 0.8571, 7: 0.8067, 10: 0.7529, 13: 0.6902, 16: 0.6275, 22: 0.5378, 23: 0.4482}
AT_RISK = {6: 21, 7: 17, 10: 15, 13: 12, 16: 11, 22: 7, 23: 6}


def waits_of(series: str) -> list[Wait]:
    return [Wait(int(each.rstrip("+")), not each.endswith("+")) for each in series.split()]


def drawn(seed: int, number: int) -> list[Wait]:
    """Days and whether it was answered, with many ties, and long tails now and then."""
    dice = random.Random(seed)
    return [Wait(int(dice.expovariate(1 / dice.choice([3, 12]))), dice.random() < 0.7) for _ in range(number)]


def theirs(waits: list[Wait]) -> SurvfuncRight:
    return SurvfuncRight(
        np.array([wait.days for wait in waits], dtype=float), np.array([wait.answered for wait in waits])
    )


def test_the_printed_series_gives_the_printed_curve() -> None:
    curve = kaplan_meier(waits_of(REMISSION))
    assert {step.day: step.at_risk for step in curve} == AT_RISK
    assert {step.day: step.survival for step in curve} == pytest.approx(PRINTED, abs=5e-5)
    assert median(curve) == 23


def test_statsmodels_reads_the_printed_series_alike() -> None:
    waits = waits_of(REMISSION)
    assert theirs(waits).quantile(0.5) == median(kaplan_meier(waits))
    for step in kaplan_meier(waits):
        reckoned = theirs(waits)
        place = list(reckoned.surv_times).index(step.day)
        assert step.survival == pytest.approx(reckoned.surv_prob[place])


@pytest.mark.parametrize("seed", range(12))
def test_every_share_and_every_error_is_statsmodels(seed: int) -> None:
    waits = drawn(seed, 40 + 15 * seed)
    curve, other = kaplan_meier(waits), theirs(waits)
    assert [step.day for step in curve] == list(other.surv_times)
    assert [step.at_risk for step in curve] == list(other.n_risk)
    assert [step.answered for step in curve] == list(other.n_events)
    assert [step.survival for step in curve] == pytest.approx(list(other.surv_prob))
    errors = [(step.variance, se) for step, se in zip(curve, other.surv_prob_se, strict=True)]
    assert [sqrt(ours) for ours, _se in errors if ours is not None] == pytest.approx(
        [float(se) for ours, se in errors if ours is not None]
    )


@pytest.mark.parametrize("seed", range(12))
def test_every_median_is_statsmodels(seed: int) -> None:
    """Theirs is the smallest day after which less than half wait; where exactly half do, ours is a step earlier."""
    waits = drawn(seed, 41)
    middle, other = median(kaplan_meier(waits)), theirs(waits).quantile(0.5)
    assert middle == other or (middle is None and np.isnan(other))


def test_a_daily_pace_with_a_guess_that_hardly_counts_is_statsmodels_too() -> None:
    waits = drawn(99, 300)
    longest = max(wait.days for wait in waits)
    known = pace(waits, tuple((day, 0.1) for day in range(longest + 1)), people=1e-9)
    other = theirs(waits)
    for day, share in zip(other.surv_times, other.surv_prob, strict=True):
        assert known.survival(int(day)) == pytest.approx(share, abs=1e-6)
