"""The one place where a job's stage and holder change, and the lock that makes its writers take turns."""

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs import stages
from jobs.actions.refusals import Refused
from jobs.models import Job
from jobs.words import Holder, ReturnBy, Stage


@contextmanager
def changing(job: Job) -> Iterator[Job]:
    """One transaction on a fresh, locked copy of the job; `job` itself is brought up to date when it commits.

    PostgreSQL locks the row. SQLite ignores SELECT FOR UPDATE, but its transactions begin IMMEDIATE and so take turns.
    """
    with transaction.atomic():
        fresh = Job.objects.select_for_update(of=("self",)).with_people().get(pk=job.pk)
        yield fresh
    for field in (
        "stage",
        "holder",
        "stage_since",
        "holder_since",
        "last_seq",
        "story_answer",
        "likely_by",
        "surely_by",
    ):
        setattr(job, field, getattr(fresh, field))
    job.promise_note, job.return_by = fresh.promise_note, fresh.return_by


def move(job: Job, there: Stage) -> None:
    """Move `job` to another stage: checks that the table allows it, hands it to the stage's holder, notes since when.

    The only place that assigns `stage`. Writes no journal entry: the action that moves does. Raises Refused.
    """
    here = Stage(job.stage)
    if not stages.may_move(here, there):
        raise Refused(
            _("This job is at “%(here)s”. It cannot go to “%(there)s” from there.")
            % {"here": here.label, "there": there.label}
        )
    holder = _holder_after(job, here, there)
    job.stage, job.stage_since = there, timezone.now()
    job.save(update_fields=["stage", "stage_since"])
    hand_to(job, holder)


def hand_to(job: Job, holder: Holder) -> None:
    """Make it another's move. The clock of days waited starts again only when the holder changes."""
    if job.holder == holder:
        return
    job.holder, job.holder_since = holder, timezone.now()
    job.save(update_fields=["holder", "holder_since"])


def require(job: Job, allowed: frozenset[Stage]) -> None:
    """Refuse unless the job is at one of the allowed stages."""
    if job.stage not in allowed:
        raise Refused(
            _("That cannot be done while the job is at “%(here)s”.") % {"here": Stage(job.stage).label}
        )


def _holder_after(job: Job, here: Stage, there: Stage) -> Holder:
    if there == Stage.WITHDRAWN:
        # Never sent: there is nothing to give back.
        return Holder.NOBODY if here in stages.BEFORE_ARRIVAL else _holder_at_hand_over(job)
    if there == Stage.READY:
        return _holder_at_hand_over(job)
    return stages.HOLDERS[there]


def _holder_at_hand_over(job: Job) -> Holder:
    return Holder.CUSTOMER if job.return_by == ReturnBy.COLLECT else Holder.WORKSHOP
