"""How long to wait before the next try: by the kind of failure, longer each time, and never in step with the others."""

import random
from datetime import datetime, timedelta

from django.utils import timezone

from notifications.channels.base import Trouble, Undelivered
from notifications.models import SweepLease

LONGEST_WAIT = timedelta(hours=4)
LONGEST_ASKED = timedelta(hours=12)  # more than that nobody means
FIRST_WAIT = {
    Trouble.TEMPORARY: timedelta(minutes=1),
    Trouble.THROTTLED: timedelta(minutes=2),
    Trouble.AMBIGUOUS: timedelta(minutes=5),
}
# So long nobody uses a way whose server asked us to slow down, or that could not be reached at all.
REST = {Trouble.THROTTLED: timedelta(seconds=60), Trouble.TEMPORARY: timedelta(seconds=15)}


def wait_for(error: Undelivered, attempts: int) -> timedelta:
    """1, 2, 4, ... minutes up to 4 hours, a quarter more or less; twice that for a server that wants less of us, and never
    sooner than it asked for."""
    wait = min(FIRST_WAIT[error.kind] * int(2 ** min(attempts - 1, 12)), LONGEST_WAIT)
    return max(_jitter(wait, 0.75, 1.25), _asked(error))


def rest(way: str, error: Undelivered) -> bool:
    """Let a way rest for everybody where the failure is the way's. Kept in the database: every worker has to know.

    Returns whether it rests now.
    """
    if not (error.way_is_shut or error.kind == Trouble.THROTTLED):
        return False
    lasts = max(_jitter(REST[error.kind], 1.0, 1.5), _asked(error))
    SweepLease.objects.hold(_name(way), timezone.now() + lasts)
    return True


def resting(now: datetime) -> list[str]:
    """The ways that nobody should use at this moment."""
    names = SweepLease.objects.filter(name__startswith=_name(""), until__gt=now).values_list(
        "name", flat=True
    )
    return [name.removeprefix(_name("")) for name in names]


def _name(way: str) -> str:
    return f"rest-{way}"


def _asked(error: Undelivered) -> timedelta:
    return min(timedelta(seconds=error.wait or 0), LONGEST_ASKED)


def _jitter(wait: timedelta, least: float, most: float) -> timedelta:
    return timedelta(seconds=wait.total_seconds() * random.uniform(least, most))  # noqa: S311 - nothing secret
