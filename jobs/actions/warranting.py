"""The warranty begins, and what happens when the customer calls on it."""

from datetime import date

from django.utils import timezone
from django.utils.translation import gettext as _

from jobs import journal
from jobs.actions.booking import new_job
from jobs.actions.moving import changing, move, require
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.models import Choice, Cover, Finding, Job, Kind, Line, Tried, Warranty
from jobs.warranty_terms import covered_until
from jobs.words import Certainty, Effect, Stage


def begin_warranty(job: Job, starts_on: date, by: Actor) -> Warranty | None:
    """Write down what is covered from `starts_on`: agreed work and parts, each for its months; and what is not, and why.

    Called inside the transaction that brings the job home. Returns None when nothing was done and nothing was told.
    """
    agreed = _agreed(job)
    if not agreed and not job.claim_on_id:
        return None
    warranty = Warranty.objects.create(job=job, starts_on=starts_on, created_at=timezone.now())
    for line in agreed:
        _cover(warranty, line)
    _carry_over(warranty, job)
    for finding in _told_and_left(job, agreed):
        Cover.objects.create(
            warranty=warranty,
            what=finding.title,
            mechanism=finding.mechanism,
            why_not=_("We told you about this and it was left as it is."),
        )
    journal.append(
        job, Kind.WARRANTY, by, {"starts_on": starts_on.isoformat(), "covers": warranty.covers.count()}
    )
    return warranty


def will_have_warranty(job: Job) -> bool:
    """Whether a warranty begins when it is home: something was done, or done again."""
    return bool(job.claim_on_id or _agreed(job))


def open_claim(job: Job, story: str, by: Actor) -> Job:
    """The customer calls on the warranty: a linked job in *expected*. The workshop decides after it has looked.

    Raises Refused without a story, without a warranty, or while an earlier claim is still open (its reference is named).
    """
    if not story.strip():
        raise Refused(_("Tell us what you notice."), "story")
    with changing(job) as old:
        if not Warranty.objects.filter(job=old).exists():
            raise Refused(_("There is no warranty for this job yet."))
        if waiting := old.claims.exclude(stage__in=[Stage.RETURNED, Stage.WITHDRAWN]).first():
            raise Refused(_("Your claim %(ref)s is already open.") % {"ref": waiting.shown_ref})
        claim = new_job(
            customer=old.customer, item=old.item, claim_on=old, story=story.strip(), return_by=old.return_by
        )
        journal.append(old, Kind.CLAIM_OPENED, by, {"claim": claim.ref, "story": claim.story})
        journal.append(
            claim,
            Kind.BOOKED,
            by,
            {"item": claim.item.name, "story": claim.story, "photos": 0, "claim_on": old.ref},
        )
        return claim


def accept_claim(job: Job, by: Actor) -> None:
    """The workshop has looked and does it under warranty: agreed, at no charge."""
    with changing(job) as fresh:
        if fresh.claim_on_id is None:
            raise Refused(_("This job is not a warranty claim."))
        require(fresh, frozenset({Stage.EXAMINING}))
        move(fresh, Stage.AGREED)
        journal.append(
            fresh, Kind.CLAIM_ACCEPTED, by, {"claim_on": fresh.claim_on.ref if fresh.claim_on else ""}
        )


def _agreed(job: Job) -> list[Line]:
    """Work and parts that were agreed, and the follow-ons of tries that came about."""
    chosen = [choice.line for choice in _choices(job) if choice.yes and not choice.line.is_fixed]
    came_about = set(
        Tried.objects.filter(line__quote__job=job, follow_on__isnull=False).values_list(
            "follow_on", flat=True
        )
    )
    return [line for line in chosen if line.outcome_id is None or line.pk in came_about]


def _choices(job: Job) -> list[Choice]:
    return list(
        Choice.objects.filter(decision__quote__job=job)
        .select_related("line__tried")
        .order_by("decision__quote__n", "line__position", "pk")
    )


def _cover(warranty: Warranty, line: Line) -> None:
    why_not = _why_not_covered(line)
    Cover.objects.create(
        warranty=warranty,
        line=line,
        what=line.title,
        mechanism=line.mechanism,
        months=0 if why_not else line.months,
        until=None if why_not else covered_until(warranty.starts_on, line.months),
        why_not=why_not,
    )


def _why_not_covered(line: Line) -> str:
    tried: Tried | None = getattr(line, "tried", None)
    if tried and tried.then == Tried.Then.ENDS:
        return _("We tried it, and it could not be done.")
    return "" if line.months else _("No warranty goes with this line; the quote said so.")


def _carry_over(warranty: Warranty, job: Job) -> None:
    """Work repeated under warranty keeps the rest of the first period: the covers of the first job stand on."""
    first = Warranty.objects.filter(job=job.claim_on_id).first() if job.claim_on_id else None
    for cover in first.covers.filter(until__isnull=False) if first else []:
        Cover.objects.create(
            warranty=warranty,
            line=cover.line,
            what=cover.what,
            mechanism=cover.mechanism,
            months=cover.months,
            until=cover.until,
        )


def _told_and_left(job: Job, agreed: list[Line]) -> list[Finding]:
    """Standing findings that no agreed line answers, other than those that clear a suspicion or are only good to know."""
    answered = Finding.objects.filter(lines__in=agreed)
    standing = job.findings.standing().exclude(certainty=Certainty.RULED_OUT).exclude(effect=Effect.KNOW)
    return list(standing.exclude(pk__in=answered))
