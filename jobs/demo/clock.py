"""Let the demo's past happen: for a while, Django's clock stands on another day."""

import datetime as real
from collections.abc import Iterator
from contextlib import contextmanager
from unittest.mock import patch
from zoneinfo import ZoneInfo

from django.conf import settings
from django.utils import timezone


@contextmanager
def standing_at(days_ago: int, hour: float) -> Iterator[None]:
    """Everything inside happens `days_ago` days before today at `hour` (16.5 is half past four) by the workshop's clock.

    Only `django.utils.timezone` is told; the machine's own time is never touched. An hour that is still to come today becomes now.
    """
    today = timezone.localdate()
    zone = ZoneInfo(settings.TIME_ZONE)
    at = real.time(int(hour), round(hour % 1 * 60))
    moment = real.datetime.combine(today - real.timedelta(days=days_ago), at, zone).astimezone(real.UTC)
    moment = min(moment, real.datetime.now(real.UTC))

    class Stopped(real.datetime):
        @classmethod
        def now(cls, tz: real.tzinfo | None = None) -> "Stopped":
            return cls.fromtimestamp(moment.timestamp(), tz)

    with patch("django.utils.timezone.datetime", Stopped):
        yield
