"""Of many things that are done one after another, one that goes wrong stops no other."""

import logging
from collections.abc import Iterator
from contextlib import contextmanager

from celery.exceptions import SoftTimeLimitExceeded

log = logging.getLogger(__name__)


@contextmanager
def one_of_many(what: str, number: int) -> Iterator[None]:
    """Whatever goes wrong inside is logged, by `what` it was and its number, and left for the next sweep.

    Only the end of the task's time goes through: that is no fault of this one.
    """
    try:
        yield
    except SoftTimeLimitExceeded:
        raise
    except Exception:
        log.exception("%s %s could not be dealt with", what, number)
