"""Periods of a warranty in calendar months, with numbers alone.

A period of months ends with the expiry of the last hour of the day that bears the same date as the day it began, or of the
month's last day where that date does not occur: Regulation (EEC, Euratom) No 1182/71, Article 3(2)(c).
Local law decides what a customer is owed by statute; this is the workshop's own promise on top of it.
"""

from calendar import monthrange
from datetime import date


def covered_until(starts_on: date, months: int) -> date:
    """Last day covered, that day included. Raises ValueError for a negative number of months."""
    if months < 0:
        raise ValueError(months)
    years, month0 = divmod(starts_on.month - 1 + months, 12)
    year, month = starts_on.year + years, month0 + 1
    return date(year, month, min(starts_on.day, monthrange(year, month)[1]))


def days_left(until: date, today: date) -> int:
    """Days that are still covered, today included; 0 when the cover has ended."""
    return max(0, (until - today).days + 1)
