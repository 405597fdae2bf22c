"""Tells a worker that there is something to do. Best effort: a sweep finds whatever nobody was told about."""

from collections.abc import Iterable

from django.utils import timezone

from jobs.waking import wake
from notifications.claiming import AT_ONCE
from notifications.models import Letter


def wake_relay() -> None:
    """Called after the commit of whatever appended to the journal."""
    from notifications import tasks

    wake(tasks.relay)


def wake_letters(letter_ids: Iterable[int]) -> None:
    """One message for every few letters, with the number of the first and nothing else: who sends it goes on with what is due."""
    from notifications import tasks

    ids = list(letter_ids)
    groups = [ids[start : start + AT_ONCE] for start in range(0, len(ids), AT_ONCE)]
    told = [letter_id for group in groups if wake(tasks.send_letter, group[0]) for letter_id in group]
    Letter.objects.filter(pk__in=told).update(woken_at=timezone.now())
