"""When a letter goes that need not go at once: after a short wait for company, not at night, not on days off.

The clock is the customer's, the quiet hours are the house's; the days off are those of both.
"""

from datetime import datetime, timedelta

from jobs.models import Customer, Workshop
from jobs.working_days import Days, Quiet, days_of_the_house, fair_moment, zone_of

WHOLE_WEEK = frozenset(range(7))  # a customer's weekend is no reason: only their public holidays are
# Whoever waits for another's company goes a little after it, so that they do not set out in the same moment, each alone.
BEHIND = timedelta(minutes=1)


def with_company(person: Customer | None, at: datetime) -> datetime:
    """When news of `at` goes, together with whatever else has come by then."""
    house = Workshop.objects.current()
    return _by_day(person, at + timedelta(minutes=house.digest_minutes if house else 0), house)


def by_day(person: Customer | None, at: datetime) -> datetime:
    """`at`, or the next moment that is neither in quiet hours nor on a day off."""
    return _by_day(person, at, Workshop.objects.current())


def is_day(person: Customer | None, at: datetime, house: Workshop | None) -> bool:
    """Whether what goes by day could go at this very moment. `house`: the workshop, read beforehand, because this is asked of many."""
    return _by_day(person, at, house) == at


def not_at_night(person: Customer | None, at: datetime) -> datetime:
    """`at`, or the end of the quiet hours that hold it: what rings in somebody's pocket waits for the morning, whatever it says."""
    house = Workshop.objects.current()
    return fair_moment(at, zone_of(person, house), _quiet(house), [])


def _by_day(person: Customer | None, at: datetime, house: Workshop | None) -> datetime:
    calendars = [days_of_the_house(house)]
    if person and person.holidays_in:
        calendars.append(Days(WHOLE_WEEK, person.holidays_in))
    return fair_moment(at, zone_of(person, house), _quiet(house), calendars)


def _quiet(house: Workshop | None) -> Quiet:
    return Quiet(house.quiet_from, house.quiet_until) if house else Quiet()
