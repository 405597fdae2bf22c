from datetime import date

from jobs.warranty_terms import days_left


def test_the_last_day_counts() -> None:
    assert days_left(date(2027, 2, 2), date(2027, 2, 2)) == 1


def test_the_day_after_there_is_nothing_left() -> None:
    assert days_left(date(2027, 2, 2), date(2027, 2, 3)) == 0
