"""A fork's arms are as thick as their chances."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.drawing.fork import THICKEST, THINNEST, fork

weights = st.lists(st.integers(1, 1000), min_size=2, max_size=6)


def test_two_ways_stand_over_their_columns():
    drawn = fork([14, 6])
    assert [(arm.x, arm.thickness) for arm in drawn.arms] == [(87.5, 7.0), (262.5, 3.0)]
    assert not drawn.sideways


def test_more_than_two_leave_a_stem_one_below_the_other():
    drawn = fork([5, 3, 2])
    assert drawn.sideways
    assert len({arm.path for arm in drawn.arms}) == 1


def test_what_hardly_ever_happens_can_still_be_seen():
    assert fork([999, 1]).arms[1].thickness == THINNEST


@given(weights)
def test_what_is_likelier_is_never_thinner(weights):
    thick = [arm.thickness for arm in fork(weights).arms]
    for one, other in zip(
        sorted(zip(weights, thick, strict=True)), sorted(zip(weights, thick, strict=True))[1:], strict=False
    ):
        assert one[1] <= other[1]
    assert all(THINNEST <= each <= THICKEST for each in thick)


@given(weights)
def test_every_arm_ends_inside_the_drawing(weights):
    drawn = fork(weights)
    for arm in drawn.arms:
        numbers = [float(number) for number in re.findall(r"[\d.]+", arm.path)]
        assert all(0 <= number <= drawn.width for number in numbers)


@pytest.mark.parametrize("wrong", [[], [1], [1, 0], [3, -1]])
def test_a_fork_needs_two_ways_that_can_happen(wrong):
    with pytest.raises(ValueError, match=r"\["):
        fork(wrong)
