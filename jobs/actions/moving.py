"""The one place where a job's stage and holder change, and the lock that makes its writers take turns."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs import stages
from jobs.accounts import Account, account
from jobs.actions.refusals import Refused
from jobs.models import Job, Kind
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
    job.__dict__.pop("enquiry_waits", None)
    job.promise_note, job.return_by = fresh.promise_note, fresh.return_by


def move(job: Job, there: Stage, due: int | None = None) -> None:
    """Move `job` to another stage: checks that the table allows it, hands it to the stage's holder, notes since when.

    `due`: minor units still to be paid, where the entry that says so is not written yet. The only place that assigns `stage`. Writes
    no journal entry: the action that moves does. Raises Refused.
    """
    here = Stage(job.stage)
    if not stages.may_move(here, there):
        raise Refused(
            _("This job is at “%(here)s”. It cannot go to “%(there)s” from there.")
            % {"here": here.label, "there": there.label}
        )
    if there == Stage.WITHDRAWN and here in stages.BEFORE_ARRIVAL:
        holder = Holder.NOBODY  # never sent: there is nothing to give back
    else:
        holder = _holder_at(job, there, lambda: may_leave(job) if due is None else due <= 0)
    job.stage, job.stage_since = there, timezone.now()
    job.save(update_fields=["stage", "stage_since"])
    hand_to(job, holder)


def hand_to(job: Job, holder: Holder) -> None:
    """Make it another's move. The clock of days waited starts again only when the holder changes."""
    if job.holder == holder:
        return
    job.holder, job.holder_since = holder, timezone.now()
    job.save(update_fields=["holder", "holder_since"])


def hand_back(job: Job, stands: Account | None = None, released: bool = False) -> None:
    """Make it the move of whoever holds the job at its stage, as money and post stand: after an answer, a payment, a quote taken back.

    `stands`: the account as it will be once the entry is written that the caller is about to write. A parcel on its way, or an item
    that is home, stays where it is.
    """
    if job.holder in (Holder.CARRIER, Holder.NOBODY):
        return
    here, stands = Stage(job.stage), stands or account(job)
    holder = _holder_at(job, here, lambda: released or _may_leave(job, stands))
    hand_to(job, Holder.CUSTOMER if here == Stage.AGREED and stands.deposit_due else holder)


def _holder_at(job: Job, stage: Stage, may_leave: Callable[[], bool]) -> Holder:
    """Who holds the job at a stage. Handed over by post it is theirs to pay first, unless it `may_leave`; fetched, theirs to fetch."""
    if stage in stages.TO_LEAVE:
        ours = job.return_by == ReturnBy.POST and may_leave()
        return Holder.WORKSHOP if ours else Holder.CUSTOMER
    return Holder.CUSTOMER if _waits_for_an_answer(job, stage) else stages.HOLDERS[stage]


def _waits_for_an_answer(job: Job, here: Stage) -> bool:
    """Whether the work cannot go on without an answer: to what was found besides, or to a question of ours."""
    if here not in stages.MAY_WAIT_FOR_WORD:
        return False
    if here in stages.MAY_SUPPLEMENT and job.quotes.open().filter(work_waits=True).exists():
        return True
    return job.enquiries.open().filter(work_waits=True).exists()


def require(job: Job, allowed: frozenset[Stage]) -> None:
    """Refuse unless the job is at one of the allowed stages."""
    if job.stage not in allowed:
        raise Refused(
            _("That cannot be done while the job is at “%(here)s”.") % {"here": Stage(job.stage).label}
        )


def may_leave(job: Job) -> bool:
    """Settled, or released by the owner with a reason."""
    return _may_leave(job, account(job))


def _may_leave(job: Job, stands: Account) -> bool:
    return stands.is_settled or has_been_released(job, stands)


def has_been_released(job: Job, stands: Account) -> bool:
    """Whether the owner let it go with as much to be paid as now. What was agreed afterwards, they have not let go."""
    let_go = job.entries.filter(kind=Kind.RELEASED).order_by("-seq").first()
    return let_go is not None and stands.due <= let_go.data["due"]
