"""How long people take to answer: what must hold whatever the waits are. The curve against other people's figures is in tests/outside."""

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from jobs.waiting import (
    GUESS,
    PRIOR_CALLS,
    PRIOR_PEOPLE,
    SOON,
    Calls,
    Pace,
    Step,
    Wait,
    chance_with_call,
    gain,
    kaplan_meier,
    median,
    pace,
)

WAITS = st.lists(st.builds(Wait, st.integers(0, 50), st.booleans()), max_size=60)
DAYS = st.integers(0, 80)
DAILY = tuple((day, 0.1) for day in range(51))


def answered(*days: int) -> list[Wait]:
    return [Wait(day, True) for day in days]


def open_after(*days: int) -> list[Wait]:
    return [Wait(day, False) for day in days]


@given(WAITS)
def test_the_curve_only_falls_and_stays_between_all_and_none(waits: list[Wait]) -> None:
    shares = [1.0, *(step.survival for step in kaplan_meier(waits))]
    assert shares == sorted(shares, reverse=True)
    assert len(set(shares)) == len(shares)
    assert shares[-1] >= 0


@given(WAITS, st.lists(st.integers(1, 30), max_size=5))
def test_how_long_somebody_goes_on_waiting_after_the_last_answer_changes_nothing(
    waits: list[Wait], later: list[int]
) -> None:
    curve = kaplan_meier(waits)
    assume(curve)
    last = curve[-1].day
    within = [wait for wait in waits if wait.answered or wait.days <= last]
    longer = within + open_after(*(last + day for day in later))
    also = within + open_after(*(last + day + 100 for day in later))
    assert kaplan_meier(longer) == kaplan_meier(also)


@given(WAITS)
def test_without_anybody_who_still_waits_the_curve_is_a_plain_share(waits: list[Wait]) -> None:
    days = [wait.days for wait in waits]
    for step in kaplan_meier(answered(*days)):
        assert step.survival == pytest.approx(sum(day > step.day for day in days) / len(days))


@given(WAITS)
def test_without_anybody_who_still_waits_the_variance_is_that_of_a_share(waits: list[Wait]) -> None:
    days = [wait.days for wait in waits]
    for step in kaplan_meier(answered(*days)):
        share = step.survival * (1 - step.survival) / len(days)
        assert step.variance is None or step.variance == pytest.approx(share)


def test_nobody_left_has_no_variance() -> None:
    assert kaplan_meier(answered(2)) == [Step(2, 1, 1, 0.0, None)]


def test_one_who_gave_up_on_a_day_still_waited_on_it() -> None:
    assert kaplan_meier([*answered(3), *open_after(3)])[0].at_risk == 2
    assert kaplan_meier([*answered(3), *open_after(2)])[0].at_risk == 1


def test_no_waits_make_no_curve() -> None:
    assert kaplan_meier([]) == []
    assert kaplan_meier(open_after(4, 9)) == []


@pytest.mark.parametrize(
    ("days", "middle"), [((1, 2, 3), 2), ((1, 2, 3, 4), 2), ((5,), 5), ((1, 1, 1, 6), 1)]
)
def test_the_median_is_the_first_day_after_which_at_most_half_wait(
    days: tuple[int, ...], middle: int
) -> None:
    assert median(kaplan_meier(answered(*days))) == middle


def test_there_is_no_median_where_most_still_wait() -> None:
    assert median(kaplan_meier([*answered(1), *open_after(4, 5)])) is None


@given(WAITS, DAYS)
def test_every_chance_of_a_day_is_above_none_and_below_certain(waits: list[Wait], day: int) -> None:
    assert 0 < pace(waits).hazard(day) < 1


@given(WAITS, DAYS)
def test_ever_fewer_still_wait(waits: list[Wait], day: int) -> None:
    known = pace(waits)
    assert 1 >= known.survival(day - 1) > known.survival(day) > 0
    assert known.survival(-1) == 1


@given(WAITS, st.integers(1, 30), DAYS)
def test_the_chance_of_some_days_is_what_the_survivals_say(
    waits: list[Wait], ahead: int, waited: int
) -> None:
    known = pace(waits)
    shares = 1 - known.survival(waited + ahead) / known.survival(waited)
    assert known.comes_within(ahead, waited) == pytest.approx(shares)


@given(WAITS, DAYS)
def test_a_longer_look_ahead_never_makes_an_answer_less_likely(waits: list[Wait], waited: int) -> None:
    chances = [pace(waits).comes_within(ahead, waited) for ahead in range(20)]
    assert chances[0] == 0
    assert chances == sorted(chances)


def test_without_any_wait_it_is_the_guess() -> None:
    known = pace([])
    assert known.firsts == tuple(first for first, _chance in GUESS)
    assert known.hazards == pytest.approx([chance for _first, chance in GUESS])


def test_what_the_guess_says_in_words() -> None:
    known = pace([])
    assert [round(known.survival(day), 2) for day in (7, 14, 28)] == [0.32, 0.21, 0.13]


@given(WAITS)
def test_with_a_guess_that_hardly_counts_a_stretch_of_each_day_is_the_curve(waits: list[Wait]) -> None:
    """The two readings are one thing seen twice."""
    known = pace(waits, DAILY, people=1e-9)
    for step in kaplan_meier(waits):
        assert known.survival(step.day) == pytest.approx(step.survival, abs=1e-6)


@given(WAITS)
@example([Wait(15, True)])
@example([Wait(29, True)])
def test_the_guess_fades_as_waits_are_counted(waits: list[Wait]) -> None:
    """A thousand times the same waits: each chance is nearly the plain share of the days on which an answer came.

    In its last stretch the guess has 69 days of its own, which beside a thousand counted ones move a chance by 0.07 at the most.
    """
    known = pace(waits * 1000)
    bare = pace(waits, people=1e-9)
    for day in {wait.days for wait in waits}:
        assert known.hazard(day) == pytest.approx(bare.hazard(day), abs=0.07)


@given(WAITS, st.integers(0, 50))
def test_an_answer_makes_its_day_likelier_than_silence_on_it_does(waits: list[Wait], day: int) -> None:
    came, silent = pace([*waits, Wait(day, True)]), pace([*waits, Wait(day, False)])
    assert came.hazard(day) > silent.hazard(day)
    assert came.survival(day) < silent.survival(day)


@given(WAITS, st.integers(0, 50))
def test_one_more_who_is_silent_never_makes_an_answer_likelier(waits: list[Wait], day: int) -> None:
    before, after = pace(waits), pace([*waits, Wait(day, False)])
    assert all(late <= early for early, late in zip(before.hazards, after.hazards, strict=True))


def test_the_guess_counts_for_as_many_people_as_it_says() -> None:
    """Eight answers on the first day beside eight people of whom a fifth would: three in five."""
    assert int(PRIOR_PEOPLE) == 8
    assert pace(answered(*[0] * 8)).hazard(0) == pytest.approx(0.6)


@pytest.mark.parametrize(
    "guess",
    [(), ((1, 0.1),), ((0, 0.1), (0, 0.2)), ((0, 0.1), (4, 0.2), (2, 0.1)), ((0, 0.0),), ((0, 1.0),)],
)
def test_a_guess_that_is_none_is_refused(guess: tuple[tuple[int, float], ...]) -> None:
    with pytest.raises(ValueError, match="guess"):
        pace([], guess)


def test_a_guess_that_counts_for_nobody_is_refused() -> None:
    with pytest.raises(ValueError, match="counts for somebody"):
        pace([], people=0)


def test_nobody_waits_less_than_no_days() -> None:
    with pytest.raises(ValueError, match="-1 days"):
        Wait(-1, True)


@pytest.mark.parametrize(("tries", "hits"), [(1, 2), (0, -1)])
def test_more_answers_than_calls_are_refused(tries: int, hits: int) -> None:
    with pytest.raises(ValueError, match="no share"):
        Calls(tries, hits)


@given(WAITS, st.integers(0, 400), st.integers(0, 400))
def test_a_call_is_worth_asking_anew_until_our_own_calls_outweigh_that(
    waits: list[Wait], some: int, others: int
) -> None:
    known, calls = pace(waits), Calls(some + others, some)
    chance = chance_with_call(known, calls)
    assert 0 < chance < 1
    if calls.tries:
        anew, ours = known.comes_when_asked(), some / calls.tries
        assert min(anew, ours) - 1e-9 <= chance <= max(anew, ours) + 1e-9
        assert abs(chance - ours) <= PRIOR_CALLS / (PRIOR_CALLS + calls.tries)
    else:
        assert chance == pytest.approx(known.comes_when_asked())


@given(WAITS, DAYS, st.integers(0, 10**7))
def test_a_call_never_gains_less_than_nothing_nor_more_than_waits(
    waits: list[Wait], waited: int, money: int
) -> None:
    assert 0 <= gain(pace(waits), waited, money) <= money


@given(WAITS, DAYS, st.integers(1, 10**6))
def test_twice_the_money_gains_twice_as_much(waits: list[Wait], waited: int, money: int) -> None:
    known = pace(waits)
    assert gain(known, waited, 2 * money) == pytest.approx(2 * gain(known, waited, money))


def test_where_people_grow_ever_slower_a_call_gains_ever_more() -> None:
    gains = [gain(pace([]), waited, 10_000) for waited in range(40)]
    assert gains == sorted(gains)
    assert gains[0] < 500 < 5000 < gains[-1]


def test_a_call_gains_nothing_where_it_comes_as_surely_by_itself() -> None:
    quick = Pace((0, 1), (0.01, 0.9))
    assert gain(quick, 5, 10_000) == 0


def test_what_a_call_gains_can_be_reckoned_by_hand() -> None:
    """One day in ten: asked today, 1 - 0.9**7 within the week, and by itself the same; eight calls that all worked make it more."""
    steady = Pace((0,), (0.1,))
    assert SOON == 7
    assert gain(steady, 12, 10_000) == 0
    anew = 1 - 0.9**7
    with_calls = (8 * anew + 8) / 16
    assert gain(steady, 12, 10_000, Calls(8, 8)) == pytest.approx(10_000 * (with_calls - anew))
