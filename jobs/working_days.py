"""Working days, public holidays and quiet hours: when something that can wait goes out, and how long somebody has waited.

Holidays come from the `holidays` package by country and, after a dash, region ("GB", "GB-ENG", "DE-BY"), as ISO 3166-1 and -2 write them.
"""

from collections.abc import Collection
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo, available_timezones

import holidays as public

from jobs.models import Customer, Workshop

LONGEST_SEARCH = 60  # days; a calendar in which nobody ever works would otherwise be searched for ever


class NoSuchPlace(ValueError):
    """The holidays of this place are not known."""


@dataclass(frozen=True)
class Days:
    """Which days are worked: weekdays (0 is Monday), public holidays of a place, and days on which the house is closed."""

    weekdays: frozenset[int] = frozenset(range(5))
    place: str = ""
    closed: frozenset[date] = field(default_factory=frozenset)

    def is_worked(self, day: date) -> bool:
        return day.weekday() in self.weekdays and day not in self.closed and not is_holiday(self.place, day)

    def next_worked(self, day: date) -> date:
        """`day`, or the first worked day after it."""
        for n in range(LONGEST_SEARCH):
            if self.is_worked(day + timedelta(days=n)):
                return day + timedelta(days=n)
        return day

    def after(self, day: date, n: int) -> date:
        """The n-th worked day after `day`, which itself is not counted (as Regulation 1182/71, Art. 3(1) counts periods)."""
        for _each in range(n):
            day = self.next_worked(day + timedelta(days=1))
        return day

    def between(self, first: date, last: date) -> int:
        """Worked days after `first` up to and with `last`."""
        return sum(self.is_worked(first + timedelta(days=n)) for n in range(1, (last - first).days + 1))


@dataclass(frozen=True)
class Quiet:
    """Hours of the day (local time) in which nothing goes out that can wait; they may go over midnight. Equal ends: no such hours."""

    start: time = time(20, 0)
    end: time = time(8, 0)

    def holds(self, at: time) -> bool:
        if self.start <= self.end:
            return self.start <= at < self.end
        return at >= self.start or at < self.end


def days_of_the_house(house: Workshop | None) -> Days:
    if house is None:
        return Days()
    return Days(frozenset(house.work_days), house.holidays_in, _days(tuple(house.closed_days)))


def fair_moment(at: datetime, zone: ZoneInfo, quiet: Quiet, calendars: Collection[Days]) -> datetime:
    """`at`, or the first moment after it that is outside quiet hours on a day that every calendar works.

    Aware in, aware out. An hour that a clock change skips is the first one after it.
    """
    local = at.astimezone(zone)
    if quiet.holds(local.time().replace(tzinfo=None)):
        local = _out_of(quiet, local)
    for _n in range(LONGEST_SEARCH):
        if all(days.is_worked(local.date()) for days in calendars):
            break
        opens = quiet.end if quiet.start != quiet.end else time(0, 0)
        local = datetime.combine(local.date() + timedelta(days=1), opens, zone)
    return local.astimezone(at.tzinfo)


def zone_of(person: Customer | None, house: Workshop | None) -> ZoneInfo:
    """Where the person's clock stands; the workshop's where we do not know."""
    name = (person.time_zone if person else "") or (house.time_zone if house else "") or "UTC"
    return ZoneInfo(name) if name in zone_names() else ZoneInfo("UTC")


@lru_cache(maxsize=1)
def zone_names() -> frozenset[str]:
    """All time zones that this machine knows. Asked once: the library looks through hundreds of files each time."""
    return frozenset(available_timezones())


def is_holiday(place: str, day: date) -> bool:
    """Whether `day` is a public holiday there. Nowhere ("") and unknown places have none."""
    if not place:
        return False
    try:
        return day in _holidays(place, day.year)
    except NoSuchPlace:
        return False


def check_place(place: str) -> None:
    """Raises NoSuchPlace for a place whose holidays are not known."""
    _holidays(place, 2026)


@lru_cache(maxsize=64)
def _holidays(place: str, year: int) -> frozenset[date]:
    country, _dash, region = place.partition("-")
    try:
        return frozenset(public.country_holidays(country, subdiv=region or None, years=year))
    except NotImplementedError as unknown:
        raise NoSuchPlace(place) from unknown


@lru_cache(maxsize=8)
def _days(texts: tuple[str, ...]) -> frozenset[date]:
    return frozenset(date.fromisoformat(text) for text in texts)


def _out_of(quiet: Quiet, local: datetime) -> datetime:
    """The end of the quiet hours that hold `local`."""
    day = local.date()
    if quiet.start > quiet.end and local.time() >= quiet.start:
        day += timedelta(days=1)
    return datetime.combine(day, quiet.end, local.tzinfo)
