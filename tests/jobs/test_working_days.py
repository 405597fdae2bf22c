"""Working days, public holidays and quiet hours."""

from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.working_days import Days, NoSuchPlace, Quiet, check_place, fair_moment, is_holiday, zone_names

LONDON = ZoneInfo("Europe/London")
ENGLAND = Days(place="GB-ENG")
SHOP = Days(weekdays=frozenset({1, 2, 3, 4, 5}), place="GB-ENG", closed=frozenset({date(2026, 12, 24)}))
NIGHT = Quiet(time(20, 0), time(8, 0))


def at(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=LONDON)


def test_the_days_that_england_keeps_in_2026_are_no_working_days():
    """The bank holidays of England and Wales for 2026 as the government lists them (from memory)."""
    listed = ["01-01", "04-03", "04-06", "05-04", "05-25", "08-31", "12-25", "12-28"]
    kept = [f"{day:%m-%d}" for day in _days(2026) if is_holiday("GB-ENG", day) and day.weekday() < 5]
    assert kept == listed


def test_a_region_may_keep_a_day_that_its_neighbour_does_not():
    """Corpus Christi, 4 June 2026: a holiday by law in Bavaria and not in Berlin (from memory)."""
    assert is_holiday("DE-BY", date(2026, 6, 4))
    assert not is_holiday("DE-BE", date(2026, 6, 4))


def test_two_working_days_after_maundy_thursday_is_wednesday():
    assert ENGLAND.after(date(2026, 4, 2), 2) == date(2026, 4, 8)


def test_a_shop_that_is_open_from_tuesday_to_saturday_counts_those():
    assert SHOP.after(date(2026, 11, 27), 2) == date(2026, 12, 1)


def test_the_shops_own_closed_days_are_not_counted():
    assert SHOP.next_worked(date(2026, 12, 24)) == date(2026, 12, 29)


@given(st.dates(date(2024, 1, 1), date(2030, 12, 31)), st.integers(1, 40))
def test_counting_forward_and_counting_between_agree(day, n):
    assert ENGLAND.between(day, ENGLAND.after(day, n)) == n


def test_a_calendar_in_which_nobody_works_ends_the_search():
    assert Days(weekdays=frozenset()).next_worked(date(2026, 1, 1)) == date(2026, 1, 1)


@pytest.mark.parametrize(
    ("meant", "goes"),
    [
        ("2026-11-26T14:00", "2026-11-26T14:00"),
        ("2026-11-26T20:00", "2026-11-27T08:00"),
        ("2026-11-27T03:00", "2026-11-27T08:00"),
        ("2026-11-27T21:30", "2026-11-30T08:00"),  # Friday night: Monday
        ("2026-11-28T11:00", "2026-11-30T08:00"),
        ("2026-12-24T22:00", "2026-12-29T08:00"),
        ("2026-11-26T08:00", "2026-11-26T08:00"),
    ],
)
def test_what_can_wait_goes_by_day_and_on_a_working_day(meant, goes):
    assert fair_moment(at(meant), LONDON, NIGHT, [ENGLAND]) == at(goes)


def test_the_night_is_that_of_whoever_reads():
    sent = datetime(2026, 11, 26, 9, 0, tzinfo=LONDON)  # four in the morning in Halifax
    assert fair_moment(sent, ZoneInfo("America/Halifax"), NIGHT, []).astimezone(LONDON) == at(
        "2026-11-26T12:00"
    )


def test_the_holidays_of_both_sides_count():
    both = [ENGLAND, Days(place="DE")]
    assert fair_moment(at("2026-10-02T21:00"), LONDON, NIGHT, both) == at("2026-10-05T08:00")
    assert fair_moment(at("2025-10-02T21:00"), LONDON, NIGHT, both) == at("2025-10-06T08:00")  # 3 October


def test_in_the_night_in_which_the_clock_goes_back_the_morning_is_an_hour_longer_away():
    meant = at("2026-10-24T23:00")
    goes = fair_moment(meant, LONDON, NIGHT, [])
    assert goes == at("2026-10-25T08:00")
    assert goes.astimezone(ZoneInfo("UTC")) - meant.astimezone(ZoneInfo("UTC")) == timedelta(hours=10)


NAIVE = st.datetimes(datetime(2026, 1, 1), datetime(2027, 12, 31))  # noqa: DTZ001 (hypothesis wants its bounds so)


@given(NAIVE, st.times(), st.times())
def test_it_never_goes_earlier_nor_in_quiet_hours(meant, start, end):
    meant = meant.replace(tzinfo=ZoneInfo("UTC"))
    goes = fair_moment(meant, ZoneInfo("UTC"), Quiet(start, end), [ENGLAND])
    assert goes >= meant
    assert not Quiet(start, end).holds(goes.time())
    assert ENGLAND.is_worked(goes.date())


def test_equal_ends_mean_no_quiet_hours():
    assert fair_moment(at("2026-11-26T03:00"), LONDON, Quiet(time(8), time(8)), []) == at("2026-11-26T03:00")


def test_a_place_that_nobody_knows_is_refused_when_it_is_typed_and_has_no_holidays_later():
    with pytest.raises(NoSuchPlace):
        check_place("XX")
    with pytest.raises(NoSuchPlace):
        check_place("GB-NOWHERE")
    assert not is_holiday("XX", date(2026, 1, 1))


def _days(year: int) -> list[date]:
    return [date(year, 1, 1) + timedelta(days=n) for n in range(365)]


def test_the_names_of_time_zones_are_looked_up_once() -> None:
    assert zone_names() is zone_names()
    assert "Europe/London" in zone_names()
