"""Wake a worker, best effort: the work itself is a row in the database, and a sweep finds it if nobody was woken."""

import logging
from time import monotonic
from typing import Any

from celery import Task
from kombu.exceptions import OperationalError

log = logging.getLogger(__name__)

QUIET_SECONDS = 30
_quiet_until = 0.0


def wake(task: "Task[Any, Any]", *args: int) -> bool:
    """Publish `task`. Returns whether the broker took it; after a failure it is left alone for half a minute, so that no page waits."""
    global _quiet_until
    if monotonic() < _quiet_until:
        return False
    try:
        task.apply_async(args=args, retry=False)
    except (OperationalError, OSError) as error:
        _quiet_until = monotonic() + QUIET_SECONDS
        log.warning("the broker did not take %s: %s", task.name, type(error).__name__)
        return False
    return True
