"""Tells a worker that there is something to do. Best effort: a sweep finds whatever nobody was told about."""

from collections.abc import Iterable

from django.utils import timezone

from jobs.waking import wake
from notifications.models import Letter


def wake_relay() -> None:
    """Called after the commit of whatever appended to the journal."""
    from notifications import tasks

    wake(tasks.relay)


def wake_letters(letter_ids: Iterable[int]) -> None:
    """One message for each letter, with its number and nothing else."""
    from notifications import tasks

    told = [letter_id for letter_id in letter_ids if wake(tasks.send_letter, letter_id)]
    Letter.objects.filter(pk__in=told).update(woken_at=timezone.now())
