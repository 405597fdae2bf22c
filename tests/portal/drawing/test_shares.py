"""Shares with their bounds, on one axis of hundredths."""

import pytest

from portal.drawing.rail import INSET, WIDTH
from portal.drawing.shares import Share, draw

END = "%(n)s in a hundred"


@pytest.mark.parametrize(
    ("high", "last"), [(0.0, 10), (0.099, 10), (0.1, 20), (0.205, 30), (0.99, 100), (1.0, 100)]
)
def test_the_axis_ends_at_the_next_ten_above_the_highest_bound(high: float, last: int) -> None:
    assert draw([Share(0.0, 0.0, high)], END).labels[-1].text == f"{last} in a hundred"


def test_the_bracket_stands_from_bound_to_bound_and_the_index_at_what_was_counted() -> None:
    [row] = draw([Share(0.5, 0.25, 0.75)], END).rows
    rail = WIDTH - 2 * INSET
    low, at, high = (round(INSET + share / 0.8 * rail, 1) for share in (0.25, 0.5, 0.75))
    assert row.reach.startswith(f"M{low:g} ")
    assert f"H{high:g}" in row.reach
    assert row.index.startswith(f"M{at:g} ")


def test_all_rows_stand_on_one_axis() -> None:
    drawing = draw([Share(0.1, 0.0, 0.5), Share(0.1, 0.0, 0.2)], END)
    assert drawing.rows[0].index == drawing.rows[1].index


def test_nothing_counted_is_an_axis_without_rows() -> None:
    assert draw([], END).rows == []
