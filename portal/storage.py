"""What nobody collects: from which day on the workshop's own storage terms count, as bench and office show it.

Nothing follows from that day by itself: what a workshop may charge, sell or dispose of is a matter of the law of its place.
"""

from dataclasses import dataclass
from datetime import date, datetime

from django.utils import timezone

from jobs.models import Job, Workshop
from jobs.words import Holder, Owes, ReturnBy
from notifications.models import Owing


@dataclass(frozen=True)
class Storage:
    """`since`: the moment from which it could be collected; `starts`: the first day that is not free of charge."""

    since: datetime
    starts: date

    @property
    def counts(self) -> bool:
        return self.starts <= timezone.localdate()


def storage_of(owing: Owing, house: Workshop | None) -> Storage | None:
    """None for what is not to be collected, and where the workshop has no terms."""
    starts = owing.storage_from
    return Storage(owing.since, starts) if starts and house and house.has_storage_terms else None


def storage_of_job(job: Job) -> Storage | None:
    """The same for a job: no query unless it is to be collected."""
    if job.return_by != ReturnBy.COLLECT or job.holder != Holder.CUSTOMER:
        return None
    owing = Owing.objects.filter(job=job, about=Owes.COLLECTION).first()
    return storage_of(owing, Workshop.objects.current()) if owing else None
