"""Periods of a warranty in calendar months, with numbers alone.

A period of months ends with the expiry of the last hour of the day that bears the same date as the day it began, or of the
month's last day where that date does not occur: Regulation (EEC, Euratom) No 1182/71, Article 3(2)(c). The day of the event,
here the day on which the item was back with its owner, is covered and not counted (Article 3(1)); a period "beginning with" a
day would end one day sooner. An end on a holiday stays where it is: we promise a day, not a deadline for doing something.
Local law decides what a customer is owed by statute; this is the workshop's own promise on top of it.
"""

from calendar import monthrange
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from jobs.words import AgainRule


def covered_until(starts_on: date, months: int) -> date:
    """Last day covered, that day included. Raises ValueError for a negative number of months.

    Reckon each end from the first day: month by month, what began on the 31st would creep to the 28th.
    """
    if months < 0:
        raise ValueError(months)
    years, month0 = divmod(starts_on.month - 1 + months, 12)
    year, month = starts_on.year + years, month0 + 1
    return date(year, month, min(starts_on.day, monthrange(year, month)[1]))


def days_left(until: date, today: date) -> int:
    """Days that are still covered, today included; 0 when the cover has ended."""
    return max(0, (until - today).days + 1)


@dataclass(frozen=True, slots=True)
class Term:
    """How many months the workshop gives on a `LineKind` and a `Mechanism`; "" means any."""

    kind: str
    mechanism: str
    months: int


def months_for(terms: Iterable[Term], kind: str, mechanism: str, usual: int) -> int:
    """The most exact term wins: kind and mechanism, then the mechanism alone, then the kind alone, then the one for all, then `usual`.

    A line without a mechanism ("") is met by terms for any mechanism only. Of two terms for the same, the later stands.
    """
    months = {(term.kind, term.mechanism): term.months for term in terms}
    wanted = [(kind, mechanism), ("", mechanism), (kind, ""), ("", "")]
    return next((months[each] for each in wanted if each in months), usual)


def again_until(until: date, months: int, mended_on: date, rule: AgainRule, least_months: int) -> date:
    """Last day of what was mended again under warranty and was back on `mended_on`. Never earlier than `until`.

    `until` and `months` are those of the first cover. Raises ValueError for a negative number of months.
    """
    if rule == AgainRule.MINIMUM:
        return max(until, covered_until(mended_on, least_months))
    if rule == AgainRule.ANEW:
        return max(until, covered_until(mended_on, months))
    return until
