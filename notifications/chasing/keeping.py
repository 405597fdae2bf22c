"""`Owing` rows: what customers owe us, summed up for the office's list and for the sweep that sends nudges.

A summary and nothing more: made anew for a job whenever its journal grows, and for all jobs once an hour, because days pass too.
"""

from collections.abc import Collection
from datetime import datetime
from functools import lru_cache

from celery.exceptions import SoftTimeLimitExceeded
from django.db import transaction
from django.utils import timezone

from jobs import stages
from jobs.answers_past import Past, past
from jobs.models import Enquiry, Job, Payment, Quote, Released
from jobs.words import Holder, Stage
from notifications.chasing.course import Course, courses_of
from notifications.chasing.house import House, read_house
from notifications.models import Owing
from notifications.sparing import one_of_many

BATCH = 100  # jobs in one transaction, whose locks nobody should feel
FIELDS = [
    field.name
    for field in Owing._meta.concrete_fields
    if field.name not in ("id", "thing", "job", "about", "since")
]


def refresh(job: Job, now: datetime | None = None) -> None:
    """Make the rows of one job anew. Call it inside the job's lock (`changing`, or the relay's), with the job as it is there."""
    moment = now or timezone.now()
    _write([job], courses_of([job], moment), moment)


def refresh_all(now: datetime | None = None) -> int:
    """Make the rows of every job anew that may owe something, or was said to. Returns how many jobs were looked at."""
    moment, house = now or timezone.now(), read_house()
    jobs = sorted(_may_owe())
    for first in range(0, len(jobs), BATCH):
        _refresh_some(jobs[first : first + BATCH], house, moment)
    return len(jobs)


def _refresh_some(pks: list[int], house: House, now: datetime) -> None:
    """All at once; one by one where one of them cannot be reckoned."""
    try:
        _refresh_batch(pks, house, now)
    except SoftTimeLimitExceeded:
        raise
    except Exception:
        for pk in pks:
            with one_of_many("what is owed about job", pk):
                _refresh_batch([pk], house, now)


def _refresh_batch(pks: list[int], house: House, now: datetime) -> None:
    with transaction.atomic():
        # Locked in one order, so that nothing changes between the look and the row; whoever writes to one job waits a moment.
        jobs = list(Job.objects.select_for_update().filter(pk__in=pks).order_by("pk"))
        _write(jobs, courses_of(jobs, now, house), now)


def _write(jobs: Collection[Job], found: dict[int, list[Course]], now: datetime) -> None:
    pks = [job.pk for job in jobs]
    things = [course.owed.thing for courses in found.values() for course in courses]
    Owing.objects.filter(job__in=pks).exclude(thing__in=things).delete()
    if not found:
        return
    known = _known_on(timezone.localdate(now))
    rows = [_row(pk, course, known, now) for pk, courses in found.items() for course in courses]
    Owing.objects.bulk_create(rows, update_conflicts=True, unique_fields=["thing"], update_fields=FIELDS)


def _row(job: int, course: Course, known: Past, now: datetime) -> Owing:
    thing, step = course.owed, course.step if course.next_on else None
    waited = max(0, (timezone.localdate(now) - timezone.localdate(thing.since)).days)
    return Owing(
        job_id=job,
        about=thing.about,
        thing=thing.thing,
        since=thing.since,
        money=thing.money,
        currency=thing.currency or "GBP",
        last_day=thing.last_day,
        state=course.state,
        next_on=course.next_on,
        next_way=step.way if step else "",
        next_tone=step.tone if step else "",
        chance=known.chance(waited),
        gain=round(known.gain(waited, thing.money)),
    )


@lru_cache(maxsize=1)
def _known_on(day: object) -> Past:
    """What the past teaches about waits, learned once a day: a day's answers move it by a hair."""
    return past()


def _may_owe() -> set[int]:
    """Jobs that may owe something, and those with a row that may have to go: a few queries over indexes."""
    waits = Job.objects.filter(holder=Holder.CUSTOMER, stage__in=stages.TO_LEAVE | {Stage.AGREED})
    gone = {"job__stage__in": stages.OVER, "job__holder__in": [Holder.CARRIER, Holder.NOBODY]}
    return {
        *Quote.objects.open().values_list("job", flat=True),
        *Enquiry.objects.open().exclude(job__stage__in=stages.OVER).values_list("job", flat=True),
        *waits.values_list("pk", flat=True),
        *Released.objects.filter(**gone).values_list("job", flat=True),
        *Payment.objects.filter(reverses__isnull=False, **gone).values_list("job", flat=True),
        *Owing.objects.values_list("job", flat=True),
    }
