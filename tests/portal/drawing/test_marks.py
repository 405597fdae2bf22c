import math
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.drawing.marks import WIDE, Mark, Marked, draw

places = st.tuples(st.integers(0, 1000), st.integers(0, 1000), st.integers(10, 250))
many = st.lists(places, min_size=1, max_size=6)
shapes = st.sampled_from([(1200, 900), (900, 1200), (1200, 1200), (1600, 900), (1200, 400), (400, 1600)])


def drawn(wanted: list[tuple[int, int, int]], shape: tuple[int, int] = (1200, 900)) -> Marked:
    return draw([Mark(n, *place) for n, place in enumerate(wanted, 1)], *shape)


def centre(mark: object) -> tuple[float, float]:
    return (mark.disc_x, mark.disc_y)


@given(many, shapes)
def test_every_disc_lies_inside_the_frame(wanted: list[tuple[int, int, int]], shape: tuple[int, int]) -> None:
    marked = drawn(wanted, shape)
    for mark in marked.marks:
        assert mark.disc <= mark.disc_x <= marked.width - mark.disc
        assert mark.disc <= mark.disc_y <= marked.height - mark.disc


@given(many, shapes)
def test_no_two_discs_overlap(wanted: list[tuple[int, int, int]], shape: tuple[int, int]) -> None:
    for one, other in combinations(drawn(wanted, shape).marks, 2):
        assert math.dist(centre(one), centre(other)) >= 2 * one.disc


@given(many, shapes)
def test_the_ring_lies_where_the_bench_put_it(
    wanted: list[tuple[int, int, int]], shape: tuple[int, int]
) -> None:
    marked = drawn(wanted, shape)
    for mark, (x, y, _) in zip(marked.marks, wanted, strict=True):
        assert mark.x == pytest.approx(x * WIDE / 1000, abs=0.1)
        assert mark.y == pytest.approx(y * marked.height / 1000, abs=0.1)


@given(st.tuples(st.integers(0, 1000), st.integers(0, 1000), st.integers(10, 120)))
def test_the_disc_of_a_lone_mark_leaves_its_ring_free(place: tuple[int, int, int]) -> None:
    mark = drawn([place]).marks[0]
    assert math.dist((mark.x, mark.y), centre(mark)) >= mark.r + mark.disc


def test_four_usual_marks_leave_all_rings_free() -> None:
    marked = drawn([(300, 300, 62), (650, 320, 62), (350, 700, 62), (700, 720, 62)])
    for mark in marked.marks:
        assert all(math.dist((ring.x, ring.y), centre(mark)) >= ring.r + mark.disc for ring in marked.marks)


def test_a_leader_runs_from_the_ring_to_its_disc() -> None:
    mark = drawn([(500, 500, 62)]).marks[0]
    assert mark.leader.startswith("M")
    assert mark.leader.endswith(f"L{mark.disc_x:g} {mark.disc_y:g}")


def test_marks_come_in_the_order_of_their_numbers() -> None:
    assert [mark.n for mark in draw([Mark(2, 10, 10), Mark(1, 900, 900)], 1200, 900).marks] == [1, 2]


@pytest.mark.parametrize(
    ("certainty", "line"),
    [
        ("seen", "full"),
        ("measured", "full"),
        ("inferred", "dash"),
        ("untried", "dash"),
        ("ruled_out", "struck"),
    ],
)
def test_the_ring_takes_the_line_of_its_certainty(certainty: str, line: str) -> None:
    assert draw([Mark(1, 500, 500)], 1200, 900, certainty).marks[0].line == line


def test_only_what_is_ruled_out_is_struck_through() -> None:
    assert draw([Mark(1, 500, 500)], 1200, 900, "ruled_out").marks[0].stroke
    assert not draw([Mark(1, 500, 500)], 1200, 900, "untried").marks[0].stroke


def test_a_photograph_without_marks_has_an_empty_overlay() -> None:
    assert draw([], 1200, 900) == Marked(1200, 900, ())


def test_a_picture_thinner_than_a_disc_still_gets_its_mark() -> None:
    assert len(draw([Mark(1, 500, 500)], 3000, 60).marks) == 1
