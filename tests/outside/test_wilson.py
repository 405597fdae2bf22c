"""The Wilson interval against published values.

R's `binom.confint(method = "wilson")`, as kept in the tests of statsmodels (stats/tests/results/results_proportion.py): 4 of 20, 1 of 30,
0 of 30, 4 of 200. The comparison of seven methods in Statistics in Medicine 17:857-872 (1998): 81 of 263, 0 of 20, 1 of 29
(its table is quoted from memory; scipy's `binomtest(...).proportion_ci(method="wilson")` gives every row, and is asked again here).
"""

import pytest
from scipy.stats import binomtest

from jobs.intervals import wilson

FROM_R = [
    (4, 20, 0.0806576626, 0.4160174323),
    (1, 30, 0.0059085904, 0.1667039099),
    (0, 30, 0.0, 0.1135133932),
    (4, 200, 0.0078044264, 0.0502870869),
]
FROM_THE_COMPARISON = [(81, 263, 0.2553, 0.3662), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)]


@pytest.mark.parametrize(("hits", "tries", "low", "high"), FROM_R)
def test_it_is_what_r_says(hits: int, tries: int, low: float, high: float) -> None:
    assert wilson(hits, tries) == pytest.approx((low, high), abs=5e-10)


@pytest.mark.parametrize(("hits", "tries", "low", "high"), FROM_THE_COMPARISON)
def test_it_is_what_the_comparison_of_seven_methods_prints(
    hits: int, tries: int, low: float, high: float
) -> None:
    assert wilson(hits, tries) == pytest.approx((low, high), abs=5e-5)


def test_scipy_says_the_same_for_every_share_of_up_to_forty() -> None:
    for tries in range(1, 41):
        for hits in range(tries + 1):
            theirs = binomtest(hits, tries).proportion_ci(method="wilson")
            assert wilson(hits, tries) == pytest.approx((theirs.low, theirs.high), abs=1e-9)
