from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.drawing.cover import Cover, Promise, draw, verdict
from portal.drawing.rail import INSET, WIDTH

STARTS = date(2026, 11, 3)
lengths = st.lists(st.none() | st.integers(0, 1500), min_size=1, max_size=8)


def drawn(wanted: list[int | None], today: int) -> Cover:
    promises = [Promise("x", STARTS + timedelta(days=n) if n is not None else None) for n in wanted]
    return draw(promises, STARTS, STARTS + timedelta(days=today))


@given(lengths, st.integers(-30, 2000))
def test_every_promise_ends_on_the_rail(wanted: list[int | None], today: int) -> None:
    assert all(INSET <= row.end_x <= WIDTH - INSET for row in drawn(wanted, today).rows)


@given(lengths, st.integers(-30, 2000))
def test_labels_of_the_axis_are_few_and_never_touch(wanted: list[int | None], today: int) -> None:
    labels = drawn(wanted, today).labels
    assert len(labels) <= 3
    assert all(one.clear_of(other) for one in labels for other in labels if one is not other)


@given(lengths, st.integers(0, 2000))
def test_today_stands_left_of_every_end_that_is_still_to_come(wanted: list[int | None], today: int) -> None:
    cover = drawn(wanted, today)
    assert all(row.end_x >= cover.ring for row in cover.rows if row.state == "running")


def test_the_last_day_is_still_covered() -> None:
    assert drawn([90], today=90).rows[0].state == "running"
    assert drawn([90], today=91).rows[0].state == "ended"


def test_what_is_not_covered_has_no_stop() -> None:
    row = drawn([None, 365], today=10).rows[0]
    assert (row.state, row.stop) == ("none", "")


def test_after_the_longest_promise_today_is_off_the_rail() -> None:
    assert drawn([90], today=500).ring is None


def test_a_longer_promise_ends_further_right() -> None:
    short, long = drawn([90, 365], today=10).rows
    assert short.end_x < long.end_x


def ring_and_stop(kind: str) -> tuple[float, float]:
    answer = verdict(kind)
    return answer.ring, float(answer.stop[1:].split()[0])


def test_yes_puts_the_ring_before_the_stop() -> None:
    ring, stop = ring_and_stop("yes")
    assert ring < stop


def test_no_puts_the_ring_past_the_stop() -> None:
    ring, stop = ring_and_stop("no")
    assert ring > stop


def test_only_we_must_look_has_a_broken_span() -> None:
    assert [verdict(kind).is_broken for kind in ("yes", "no", "look")] == [False, False, True]


def test_an_unknown_answer_is_refused() -> None:
    with pytest.raises(KeyError):
        verdict("perhaps")
