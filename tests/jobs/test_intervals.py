"""An interval around a share that was counted: its shape, and what it refuses. Published values are in tests/outside."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.intervals import wilson

SHARES = st.integers(0, 400).flatmap(lambda tries: st.tuples(st.integers(0, tries), st.just(tries)))


@given(SHARES)
def test_it_holds_the_share_itself_and_stays_between_nothing_and_all(counted: tuple[int, int]) -> None:
    hits, tries = counted
    low, high = wilson(hits, tries)
    assert 0 <= low < high <= 1
    assert tries == 0 or low <= hits / tries <= high


@given(SHARES)
def test_what_did_not_happen_mirrors_what_did(counted: tuple[int, int]) -> None:
    hits, tries = counted
    low, high = wilson(hits, tries)
    assert wilson(tries - hits, tries) == pytest.approx((1 - high, 1 - low))


def test_more_tries_bring_it_closer() -> None:
    few, many = wilson(7, 9), wilson(70, 90)
    assert many[0] > few[0]
    assert many[1] < few[1]


def test_seven_of_nine_is_between_45_and_94_in_a_hundred() -> None:
    assert wilson(7, 9) == pytest.approx((0.4526, 0.9368), abs=0.0001)


@pytest.mark.parametrize(("hits", "tries"), [(-1, 3), (4, 3), (1, 0)])
def test_what_is_no_share_is_refused(hits: int, tries: int) -> None:
    with pytest.raises(ValueError, match="no share"):
        wilson(hits, tries)
