"""Messages that came in are not kept for ever: what was written to us goes in time, and that it was written stays.

What became a question or an answer stands in the job and stays there. Common practice, no source; the law of the place on keeping
personal data goes before these numbers.
"""

from datetime import datetime, timedelta

from django.db.models import Q, QuerySet

from jobs.darkroom import store
from notifications.models import Incoming

KEPT_TAKEN = timedelta(
    days=400
)  # as long as from where an answer came (jobs.actions.recording.TRACE_KEPT_DAYS)
KEPT_OTHERS = timedelta(days=90)  # automatic answers, and what the office has seen and laid aside
MOST = 200  # in one go; the next sweep takes the rest
State = Incoming.State


def forget_old(now: datetime) -> int:
    """Erase sender, words and file of old messages; the row stays, so that the same message is not taken twice. Returns how many.

    What is set aside and was never looked at is nobody's to erase: it waits for the office. The file goes first: a crash in between
    leaves a row that is found again.
    """
    old = list(_old(now).values_list("pk", "file")[:MOST])
    for pk, file in old:
        if (
            file
            and not Incoming.objects.filter(file=file)
            .exclude(pk=pk)
            .exclude(text="", from_address="")
            .exists()
        ):
            store.path(file).unlink(missing_ok=True)
        Incoming.objects.filter(pk=pk).update(
            from_address="", subject="", text="", file="", left_out=[], why=""
        )
    return len(old)


def _old(now: datetime) -> QuerySet[Incoming]:
    taken = Q(state=State.TAKEN, at__lt=now - KEPT_TAKEN)
    others = Q(state__in=[State.ROBOT, State.DONE], at__lt=now - KEPT_OTHERS)
    return Incoming.objects.filter(taken | others).exclude(file="", text="", from_address="", subject="")
