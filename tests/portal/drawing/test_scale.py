import re
from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from portal.drawing import scale
from portal.drawing.rail import WIDTH, Label, label, without_collisions

TODAY = date(2026, 10, 14)
days = st.integers(min_value=-400, max_value=800)
amounts = st.integers(min_value=0, max_value=5_000_000)


def numbers_in(path: str) -> list[float]:
    return [float(number) for number in re.findall(r"-?\d+\.?\d*", path)]


def xs_of(path: str) -> list[float]:
    return [float(x) for x in re.findall(r"[MH](-?\d+\.?\d*)", path)]


def pounds(minor: int) -> str:
    return f"£{minor / 100:,.2f}"


def dates(likely: int, more: int, before: int | None = None) -> scale.Scale:
    first = TODAY + timedelta(days=likely)
    earliest = first - timedelta(days=before) if before is not None else None
    return scale.dates(TODAY, first, first + timedelta(days=more), earliest)


def all_inside(drawn: scale.Scale) -> bool:
    paths = [drawn.rail, drawn.short_ticks, drawn.long_ticks, drawn.reach, drawn.stop, drawn.index]
    return all(0 <= x <= WIDTH for path in paths for x in xs_of(path))


def apart(labels: list[Label]) -> bool:
    return all(one.clear_of(other) for one in labels for other in labels if one is not other)


@given(likely=days, more=st.integers(0, 300), before=st.none() | st.integers(0, 60))
def test_no_line_of_a_promise_leaves_the_drawing(likely: int, more: int, before: int | None) -> None:
    assert all_inside(dates(likely, more, before))


@given(likely=days, more=st.integers(0, 300), before=st.none() | st.integers(0, 60))
def test_the_index_of_a_promise_lies_inside_its_reach(likely: int, more: int, before: int | None) -> None:
    drawn = dates(likely, more, before)
    assert drawn.reach_from <= drawn.index_x <= drawn.reach_to


@given(likely=days, more=st.integers(0, 300))
def test_labels_of_a_promise_are_few_and_never_touch(likely: int, more: int) -> None:
    drawn = dates(likely, more)
    assert 1 <= len(drawn.labels) <= 3
    assert apart(drawn.labels)


@given(likely=days, more=st.integers(0, 300))
def test_labels_of_a_promise_stay_in_the_drawing(likely: int, more: int) -> None:
    assert all(each.left >= 0 and each.right <= WIDTH for each in dates(likely, more).labels)


@given(likely=days, more=st.integers(0, 300))
def test_today_is_always_labelled(likely: int, more: int) -> None:
    assert [each.text for each in dates(likely, more).labels if each.strong] == ["today"]


@given(likely=days, more=st.integers(0, 300))
def test_ticks_never_run_into_a_grey_bar(likely: int, more: int) -> None:
    drawn = dates(likely, more)
    places = sorted(xs_of(drawn.short_ticks) + xs_of(drawn.long_ticks))
    assert all(right - left >= 2 for left, right in pairwise(places))


def test_a_later_day_stands_further_right() -> None:
    drawn = dates(16, 11)
    assert drawn.ring < drawn.index_x < drawn.reach_to


def test_a_passed_promise_has_a_hollow_index() -> None:
    assert dates(-2, 5).hollow
    assert not dates(0, 5).hollow


def test_one_day_has_no_reach() -> None:
    assert dates(10, 0).reach == ""


def test_almost_surely_before_likely_is_read_as_likely() -> None:
    likely = TODAY + timedelta(days=10)
    drawn = scale.dates(TODAY, likely, TODAY + timedelta(days=3))
    assert drawn.reach_to == drawn.index_x


def test_the_reach_hangs_from_the_index_where_no_earliest_day_is_known() -> None:
    assert numbers_in(dates(16, 11).reach)[1] == scale.INDEX_TOP
    assert numbers_in(dates(16, 11, before=5).reach)[1] == scale.LEG


@given(low=amounts, more=amounts, share=st.integers(0, 100), over=st.none() | amounts)
def test_no_line_of_a_price_leaves_the_drawing(low: int, more: int, share: int, over: int | None) -> None:
    ceiling = low + over if over is not None else None
    assert all_inside(scale.money(low, low + more, pounds, low + more * share // 100, ceiling))


@given(low=amounts, more=amounts, expected=amounts)
def test_the_index_of_a_price_lies_inside_its_reach(low: int, more: int, expected: int) -> None:
    drawn = scale.money(low, low + more, pounds, expected)
    assert drawn.reach_from <= drawn.index_x <= drawn.reach_to


@given(low=amounts, more=amounts)
def test_labels_of_a_price_are_few_and_never_touch(low: int, more: int) -> None:
    drawn = scale.money(low, low + more, pounds)
    assert len(drawn.labels) <= 3
    assert apart(drawn.labels)


@given(low=amounts, more=amounts)
def test_a_price_has_between_four_and_thirty_ticks(low: int, more: int) -> None:
    drawn = scale.money(low, low + more, pounds)
    assert 4 <= len(xs_of(drawn.short_ticks + drawn.long_ticks)) <= 30


@given(low=amounts, more=st.integers(1, 5_000_000), over=st.integers(1, 5_000_000))
def test_the_ceiling_stands_beyond_the_reach(low: int, more: int, over: int) -> None:
    drawn = scale.money(low, low + more, pounds, ceiling=low + more + over)
    assert drawn.stop_x >= drawn.reach_to


def test_a_fixed_price_has_an_index_and_no_reach() -> None:
    drawn = scale.money(8500, 8500, pounds)
    assert drawn.index
    assert not drawn.reach


@pytest.mark.parametrize(("low", "high"), [(2, 1), (-1, 5)])
def test_an_impossible_price_is_refused(low: int, high: int) -> None:
    with pytest.raises(ValueError):
        scale.money(low, high, pounds)


@given(st.lists(st.tuples(st.floats(0, WIDTH), st.text("abc 12", min_size=1, max_size=70)), max_size=12))
def test_labels_chosen_from_any_wish_never_touch(wanted: list[tuple[float, str]]) -> None:
    kept = without_collisions(label(x, text) for x, text in wanted)
    assert len(kept) <= 3
    assert apart(kept)


@given(x=st.floats(0, WIDTH), text=st.text("abc", min_size=1, max_size=20))
def test_the_first_wish_is_kept_where_it_fits(x: float, text: str) -> None:
    first = label(x, text)
    assume(first.left >= 0 and first.right <= WIDTH)
    assert first in without_collisions([first, label(x, "other")])
