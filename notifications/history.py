"""Letters of a past that is told in one go: the demo's. Each is written on the day of its story and counts as sent when its time came.

Only what the last two days of the story owe is left to be sent for real.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import timedelta

from django.db.models import F
from django.utils import timezone

from jobs import journal
from jobs.words import Way
from notifications import pictures, relay, writing
from notifications.models import Letter

STILL_TO_SEND = timedelta(days=2)


@contextmanager
def told_as_it_happens() -> Iterator[Callable[[], None]]:
    """While the story is told nobody wakes a worker, who lives in the present; call what is yielded after each event instead.

    By a call and not by the commit, because the whole story may be one transaction.
    """
    wakers = journal.wakers[:]
    journal.wakers[:] = []
    try:
        yield _read_the_journal
    finally:
        journal.wakers[:] = wakers


def _read_the_journal() -> None:
    # The story's photographs are developed when all is told; until then no letter waits for them.
    relay.run(patience=timedelta(0))


def settle() -> None:
    """Call when the story is told and its photographs are developed."""
    relay.run()
    for letter in Letter.objects.filter(picture="").select_related(
        "entry", "job__item", "job__customer", "person"
    ):
        if pictures.picture_for(letter.entry, letter.kind):
            writing.compose(letter)
            letter.save()
    now = timezone.now()
    waiting = Letter.objects.filter(state=Letter.State.WAITING)
    # Each went when its time had come: what could wait went by day, on a day that the house works.
    past = waiting.filter(made_at__lt=now - STILL_TO_SEND, next_attempt_at__lte=now)
    past.update(state=Letter.State.SENT, attempts=1, sent_at=F("next_attempt_at"), next_attempt_at=None)
    # What is left is news of these days. Its mail goes now, so that whoever opens the demo at night finds letters in it too.
    waiting.filter(channel=Way.EMAIL).update(next_attempt_at=now)
