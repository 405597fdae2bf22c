"""Is everything that has to work for a customer to hear from us working? For a monitor, and for `make run`."""

from datetime import datetime, timedelta
from typing import TypedDict

import redis
from django.conf import settings
from django.db import DatabaseError
from django.http import HttpRequest, JsonResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from notifications.models import Letter
from portal.access import for_everyone
from portal.models import Pulse
from portal.schedule import QUEUES

SILENT_AFTER = timedelta(minutes=3)  # three pulses missed: beat, broker or worker has stopped
LATE_AFTER = timedelta(minutes=15)  # a sweep that works takes a letter within a minute of its time


class Health(TypedDict):
    """Ages in whole seconds; None where there is nothing to tell the age of."""

    well: bool
    database: bool
    broker: bool
    pulse: dict[str, int | None]
    oldest_waiting_letter: int | None


@for_everyone
@require_safe
def healthz(request: HttpRequest) -> JsonResponse:
    """Open to everybody: it tells ages and yes or no, nothing about a customer. 503 when something is not well."""
    health = look(timezone.now())
    return JsonResponse(health, status=200 if health["well"] else 503)


def look(now: datetime) -> Health:
    """The state of the house at this moment. Never raises: what cannot be reached is reported as not well."""
    try:
        pulse, oldest = pulses(now), oldest_waiting_letter(now)
    except DatabaseError:
        return Health(
            well=False, database=False, broker=broker_answers(), pulse={}, oldest_waiting_letter=None
        )
    broker = broker_answers()
    beating = all(age is not None and age <= SILENT_AFTER.total_seconds() for age in pulse.values())
    late = oldest is not None and oldest > LATE_AFTER.total_seconds()
    well = broker and beating and not late
    return Health(well=well, database=True, broker=broker, pulse=pulse, oldest_waiting_letter=oldest)


def pulses(now: datetime) -> dict[str, int | None]:
    """Queue -> seconds since a message last travelled its whole road."""
    felt = dict(Pulse.objects.values_list("queue", "felt_at"))
    return {queue: seconds_since(felt.get(queue), now) for queue in QUEUES}


def oldest_waiting_letter(now: datetime) -> int | None:
    """For how many seconds the most overdue letter should have been on its way, or None where none is owed."""
    due = (
        Letter.objects.owed(now).order_by("next_attempt_at").values_list("next_attempt_at", flat=True).first()
    )
    return seconds_since(due, now)


def broker_answers() -> bool:
    try:
        with redis.Redis.from_url(settings.BROKER_URL, socket_timeout=1, socket_connect_timeout=1) as broker:
            return bool(broker.ping())
    except redis.RedisError:
        return False


def seconds_since(moment: datetime | None, now: datetime) -> int | None:
    return None if moment is None else max(0, int((now - moment).total_seconds()))
