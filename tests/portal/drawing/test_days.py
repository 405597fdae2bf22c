from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.drawing.days import (
    PROMISED_WIDTH,
    WAITED_WIDTH,
    longest,
    promised,
    promised_head,
    state,
    waited,
    waited_head,
)
from portal.drawing.rail import INSET

TODAY = date(2026, 10, 14)


@given(st.lists(st.integers(0, 500), min_size=1))
def test_the_axis_holds_the_longest_wait_in_whole_weeks(waits: list[int]) -> None:
    axis = longest(waits)
    assert axis >= max(waits)
    assert axis % 7 == 0


def test_the_axis_is_never_shorter_than_four_weeks() -> None:
    assert longest([]) == 28


@given(st.integers(0, 500), st.integers(4, 80))
def test_the_ring_stays_on_the_rail(days: int, weeks: int) -> None:
    assert INSET <= waited(days, [], weeks * 7).ring <= WAITED_WIDTH - INSET


def test_a_longer_wait_stands_further_right() -> None:
    assert waited(3, [], 28).ring < waited(19, [], 28).ring


def test_a_nudge_after_today_is_not_drawn() -> None:
    assert len(waited(9, [3, 8, 15], 28).nudges) == 2


def test_a_wait_of_less_than_nothing_is_refused() -> None:
    with pytest.raises(ValueError):
        waited(-1, [], 28)


def test_the_head_of_the_waits_names_start_middle_and_end() -> None:
    assert [label.text for label in waited_head(28).labels] == ["0", "14", "28"]


def test_the_head_of_the_promises_starts_with_today() -> None:
    labels = promised_head(TODAY).labels
    assert labels[0].text == "today"
    assert labels[0].x < labels[1].x < labels[2].x


@given(st.integers(-60, 200), st.integers(0, 100))
def test_a_promise_stays_on_its_rail(likely: int, more: int) -> None:
    first = TODAY + timedelta(days=likely)
    assert INSET <= promised(TODAY, first, first + timedelta(days=more)).index_x <= PROMISED_WIDTH - INSET


@pytest.mark.parametrize(
    ("likely", "work_left", "expected"),
    [(5, 0, "kept"), (5, 5, "kept"), (5, 6, "at_risk"), (0, 0, "kept"), (-1, 0, "passed")],
)
def test_a_promise_is_kept_at_risk_or_passed(likely: int, work_left: int, expected: str) -> None:
    assert state(TODAY, TODAY + timedelta(days=likely), work_left) == expected
