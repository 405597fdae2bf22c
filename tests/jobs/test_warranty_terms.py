from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.warranty_terms import Term, again_until, covered_until, days_left, months_for
from jobs.words import AgainRule

days = st.dates(min_value=date(1990, 1, 1), max_value=date(2090, 12, 31))
months = st.integers(min_value=0, max_value=60)
TERMS = [
    Term("part", "", 6),
    Term("work", "", 12),
    Term("", "lens", 3),
    Term("part", "lens", 1),
]


def test_the_last_day_counts() -> None:
    assert days_left(date(2027, 2, 2), date(2027, 2, 2)) == 1


def test_the_day_after_there_is_nothing_left() -> None:
    assert days_left(date(2027, 2, 2), date(2027, 2, 3)) == 0


@pytest.mark.parametrize(
    ("kind", "mechanism", "given"),
    [
        ("part", "lens", 1),  # kind and mechanism
        ("work", "lens", 3),  # the mechanism goes before the kind
        ("part", "transport", 6),
        ("work", "", 12),  # a line that answers no finding
        ("carriage", "transport", 24),  # no term: the usual
    ],
)
def test_the_most_exact_term_wins(kind: str, mechanism: str, given: int) -> None:
    assert months_for(TERMS, kind, mechanism, usual=24) == given
    assert months_for(reversed(TERMS), kind, mechanism, usual=24) == given


def test_a_term_for_everything_stands_before_the_usual_and_behind_every_other() -> None:
    assert months_for([*TERMS, Term("", "", 9)], "carriage", "transport", usual=24) == 9
    assert months_for([*TERMS, Term("", "", 9)], "part", "transport", usual=24) == 6


def test_no_months_at_all_can_be_a_term() -> None:
    assert months_for([Term("", "covering", 0)], "work", "covering", usual=12) == 0


FIRST_END, BACK_AGAIN = date(2027, 11, 2), date(2027, 9, 20)


@pytest.mark.parametrize(
    ("rule", "until"),
    [
        (AgainRule.REST, date(2027, 11, 2)),
        (AgainRule.MINIMUM, date(2027, 12, 20)),  # three months from the new return
        (AgainRule.ANEW, date(2028, 9, 20)),  # twelve months from the new return
    ],
)
def test_what_was_mended_again_is_covered_by_the_rule_of_the_house(rule: AgainRule, until: date) -> None:
    assert again_until(FIRST_END, 12, BACK_AGAIN, rule, least_months=3) == until


def test_a_minimum_that_would_end_sooner_leaves_the_rest() -> None:
    assert again_until(FIRST_END, 12, date(2026, 12, 1), AgainRule.MINIMUM, 3) == FIRST_END


@given(days, months, days, st.sampled_from(AgainRule), months)
def test_mending_again_never_takes_a_day_away(
    until: date, period: int, mended_on: date, rule: AgainRule, least: int
) -> None:
    assert again_until(until, period, mended_on, rule, least) >= until


@given(days, months, months, st.integers(min_value=0, max_value=900))
def test_a_period_anew_is_at_least_the_minimum_where_that_is_no_longer(
    start: date, period: int, least: int, later: int
) -> None:
    until, back = covered_until(start, period), start + timedelta(days=later)
    anew, minimum, rest = (
        again_until(until, period, back, rule, min(least, period))
        for rule in (AgainRule.ANEW, AgainRule.MINIMUM, AgainRule.REST)
    )
    assert anew >= minimum >= rest
