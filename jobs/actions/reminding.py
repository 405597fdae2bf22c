"""The letter that somebody asked for before their warranty ends."""

from datetime import date, timedelta

from django.db.models import Exists, Max, OuterRef, QuerySet
from django.utils import timezone

from jobs import journal
from jobs.actions.moving import changing
from jobs.actor import HOUSE
from jobs.models import Customer, Job, Kind, Warranty
from jobs.words import Stage

A_MONTH = timedelta(days=30)


def want_reminder(warranty: Warranty, wants: bool) -> None:
    """Whether they want a letter a month before the end. Like every wish about letters it is a plain row: nothing of the repair changes
    by it, so it is no matter for the journal.
    """
    Warranty.objects.filter(pk=warranty.pk).update(wants_reminder=wants)
    warranty.wants_reminder = wants


def want_none(customer: Customer) -> None:
    """Whoever leaves letters out by the link in one has had enough of reminders too."""
    Warranty.objects.filter(job__customer=customer, wants_reminder=True).update(wants_reminder=False)


def ending_soon(today: date) -> QuerySet[Warranty]:
    """Warranties whose last cover ends within a month, of which a letter is wanted and none was written.

    Not while a claim on it is open, for then the item is with us or on its way; nor where a later warranty has taken its place.
    """
    claims = Job.objects.filter(claim_on=OuterRef("job"))
    open_ = claims.exclude(stage__in=[Stage.RETURNED, Stage.WITHDRAWN])
    return (
        Warranty.objects.filter(wants_reminder=True, reminded_at__isnull=True)
        .annotate(last=Max("covers__until"))
        .filter(last__gte=today, last__lte=today + A_MONTH)
        .exclude(Exists(open_))
        .exclude(Exists(claims.filter(warranty__isnull=False)))
        .order_by("pk")
    )


def remind(warranty: Warranty, today: date) -> bool:
    """Write into the journal that it ends soon, once; the letter follows from there. Looked at again inside the job's lock."""
    with changing(warranty.job) as job:
        due = ending_soon(today).filter(pk=warranty.pk).first()
        if due is None or due.last is None:  # type: ignore[attr-defined]
            return False
        Warranty.objects.filter(pk=due.pk).update(reminded_at=timezone.now())
        journal.append(job, Kind.WARRANTY_ENDS, HOUSE, {"last": due.last.isoformat()})  # type: ignore[attr-defined]
        return True
