from datetime import date, timedelta
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from portal.drawing.rail import WIDTH
from portal.drawing.turns import Entry, draw, gather

TODAY = date(2026, 10, 14)
HOLDERS = ["customer", "workshop", "supplier", "carrier", "nobody"]
histories = st.lists(st.tuples(st.integers(0, 400), st.sampled_from(HOLDERS)), min_size=1, max_size=25)


def entries(history: list[tuple[int, str]]) -> list[Entry]:
    """Days ago and holder, put in order of time."""
    ordered = sorted(history, key=lambda each: -each[0])
    return [Entry(TODAY - timedelta(days=ago), holder, f"{ago} days ago") for ago, holder in ordered]


def a_story() -> list[Entry]:
    return entries([(18, "carrier"), (15, "workshop"), (5, "workshop"), (2, "customer")])


def test_entries_are_gathered_by_whose_move_it_was() -> None:
    assert [turn.holder for turn in gather(a_story(), TODAY)] == ["customer", "workshop", "carrier"]


def test_a_turn_lasts_until_the_next_one_begins() -> None:
    assert [turn.days for turn in gather(a_story(), TODAY)] == [2, 13, 3]


def test_only_the_newest_turn_is_open() -> None:
    assert [turn.is_open for turn in gather(a_story(), TODAY)] == [True, False, False]


def test_within_a_turn_the_newest_entry_comes_first() -> None:
    workshop = gather(a_story(), TODAY)[1]
    assert [entry.what for entry in workshop.entries] == ["5 days ago", "15 days ago"]


@given(histories)
def test_no_entry_is_lost(history: list[tuple[int, str]]) -> None:
    assert sum(len(turn.entries) for turn in gather(entries(history), TODAY)) == len(history)


@given(histories)
def test_the_days_of_all_turns_are_the_days_of_the_job(history: list[tuple[int, str]]) -> None:
    assert sum(turn.days for turn in gather(entries(history), TODAY)) == max(ago for ago, _ in history)


@given(histories)
def test_brackets_stay_on_the_rail_and_never_overlap(history: list[tuple[int, str]]) -> None:
    drawn = draw(gather(entries(history), TODAY), TODAY)
    brackets = drawn.brackets if drawn else []
    assert all(0 <= each.left < each.right <= WIDTH for each in brackets)
    assert all(one.right < other.left for one, other in pairwise(brackets))


@given(histories)
def test_an_icon_never_leaves_its_bracket(history: list[tuple[int, str]]) -> None:
    drawn = draw(gather(entries(history), TODAY), TODAY)
    for each in drawn.brackets if drawn else []:
        assert each.icon_x is None or each.left <= each.icon_x <= each.right - drawn.icon


def test_a_job_of_one_day_is_told_in_words_alone() -> None:
    assert draw(gather(entries([(0, "customer")]), TODAY), TODAY) is None


def test_a_job_without_entries_has_no_turns() -> None:
    assert gather([], TODAY) == []
    assert draw([], TODAY) is None


def test_an_ended_job_does_not_grow_with_time() -> None:
    story = [*a_story(), Entry(TODAY, "nobody", "home")]
    later = TODAY + timedelta(days=100)
    assert draw(gather(story, later), later) == draw(gather(story, TODAY), TODAY)
