"""Ends of periods in months: Regulation (EEC, Euratom) No 1182/71 Art. 3(2)(c), worked cases, and python-dateutil."""

from datetime import date

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from jobs.warranty_terms import covered_until

days = st.dates(min_value=date(1990, 1, 1), max_value=date(2090, 12, 31))
months = st.integers(min_value=0, max_value=240)


@pytest.mark.parametrize(
    ("start", "period", "end"),
    [
        # House of Lords, 18 June 1981, the "corresponding date" case: notice of 30 September, four months
        (date(1978, 9, 30), 4, date(1979, 1, 30)),
        # The UK data regulator's published examples of one month
        (date(2024, 9, 3), 1, date(2024, 10, 3)),
        (date(2024, 3, 31), 1, date(2024, 4, 30)),
        (date(2023, 1, 31), 1, date(2023, 2, 28)),
        (date(2024, 1, 30), 1, date(2024, 2, 29)),
        # python-dateutil's documentation of relativedelta
        (date(2003, 1, 31), 2, date(2003, 3, 31)),
        (date(2000, 2, 29), 12, date(2001, 2, 28)),
        (date(1999, 2, 28), 12, date(2000, 2, 28)),
    ],
)
def test_published_cases_end_on_their_published_day(start: date, period: int, end: date) -> None:
    assert covered_until(start, period) == end


@given(days, months)
def test_every_end_is_the_one_that_dateutil_finds(start: date, period: int) -> None:
    assert covered_until(start, period) == start + relativedelta(months=period)


def test_a_negative_period_is_refused() -> None:
    with pytest.raises(ValueError):
        covered_until(date(2026, 1, 1), -1)
