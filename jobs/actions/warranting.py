"""The warranty begins, and the customer calls on it. What the workshop decides then is in `judging`."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import override

from jobs import journal
from jobs.actions.booking import new_job
from jobs.actions.moving import changing
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.models import Choice, Cover, Finding, Job, Judged, Kind, Line, Tried, Warranty, Workshop
from jobs.warranty_terms import again_until, covered_until
from jobs.words import AgainRule, Bearing, Certainty, Effect, FailedAgain, Stage


def begin_warranty(job: Job, starts_on: date, by: Actor) -> Warranty | None:
    """Write down what is covered from `starts_on`: agreed work and parts, each for its months; and what is not, and why.

    `starts_on` is the day on which it was delivered or collected, as `working.deliver` was told. After a claim whatever of the first
    warranty still runs stands on, and what was mended again runs as long as the workshop's rule says (`Workshop.again_rule`). Called
    inside the transaction that brings the job home. Returns None when nothing was done, nothing was told and nothing runs on.
    """
    agreed = _agreed(job)
    stands = _standing_on(job, starts_on)
    if not agreed and not stands:
        return None
    warranty = Warranty.objects.create(
        job=job, starts_on=starts_on, created_at=timezone.now(), wants_reminder=_wanted_before(job)
    )
    with override(job.customer.language):  # why something is not covered is kept in words, and they read it
        for line in agreed:
            _cover(warranty, line)
        _carry_over(warranty, stands)
        _name_what_was_left(warranty, agreed, {each.cover.mechanism for each in stands if each.again})
    journal.append(
        job, Kind.WARRANTY, by, {"starts_on": starts_on.isoformat(), "covers": warranty.covers.count()}
    )
    return warranty


def _name_what_was_left(warranty: Warranty, agreed: list[Line], mended: set[str]) -> None:
    for finding in _told_and_left(warranty.job, agreed, mended):
        Cover.objects.create(
            warranty=warranty,
            what=finding.title,
            mechanism=finding.mechanism,
            explanation=finding.explanation,
            why_not=_("We told you about this and it was left as it is."),
        )


def will_have_warranty(job: Job) -> bool:
    """Whether a warranty begins when it is home: something was done, or what was covered before runs on."""
    return bool(_agreed(job) or _standing_on(job, timezone.localdate()))


def open_claim(job: Job, story: str, by: Actor, cover: Cover | None = None) -> Job:
    """The customer calls on the warranty: a linked job in *expected*. The workshop decides after it has looked.

    `cover`: what they think it rests on. Raises Refused without a story, for another warranty's cover, without a warranty, or while an
    earlier claim is still open (its reference is named).
    """
    if not story.strip():
        raise Refused(_("Tell us what you notice."), "story")
    with changing(job) as old:
        if not Warranty.objects.filter(job=old).exists():
            raise Refused(_("There is no warranty for this job yet."))
        if cover and not Cover.objects.filter(pk=cover.pk, warranty__job=old).exists():
            raise Refused(_("That is no part of this warranty."), "cover")
        if waiting := open_claim_on(old):
            raise Refused(_("Your claim %(ref)s is already open.") % {"ref": waiting.shown_ref})
        claim = new_job(
            customer=old.customer,
            item=old.item,
            claim_on=old,
            claim_cover=cover,
            story=story.strip(),
            return_by=old.return_by,
        )
        journal.append(old, Kind.CLAIM_OPENED, by, {"claim": claim.ref, "story": claim.story})
        journal.append(
            claim,
            Kind.BOOKED,
            by,
            {"item": claim.item.name, "story": claim.story, "photos": 0, "claim_on": old.ref},
        )
        return claim


def open_claim_on(job: Job) -> Job | None:
    """The claim on this job that is not over yet; there is one at most."""
    return job.claims.exclude(stage__in=[Stage.RETURNED, Stage.WITHDRAWN]).first()


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


# --- after a claim ----------------------------------------------------------------------------------------------------------


def _first(job: Job) -> Warranty | None:
    return Warranty.objects.filter(job=job.claim_on_id).first() if job.claim_on_id else None


def _wanted_before(job: Job) -> bool:
    """Whoever asked for a letter before the end of the first warranty wants it before the end of what goes on from it."""
    first = _first(job)
    return bool(first and first.wants_reminder)


@dataclass(frozen=True)
class _StandsOn:
    """A cover of the first warranty that goes on in this one: its last day from now on, and whether it was mended again."""

    cover: Cover
    until: date
    again: bool


def _standing_on(job: Job, on: date) -> list[_StandsOn]:
    """What still runs on that day, and what was mended again all the same, for as long as the workshop's rule gives it."""
    first = _first(job)
    covers = first.covers.filter(until__isnull=False).prefetch_related("goes_on_as") if first else []
    stands = [cover.as_it_stands() for cover in covers]
    again = _mended_again(job, stands)
    found = [_StandsOn(cover, _until(cover, on, cover.pk in again), cover.pk in again) for cover in stands]
    return [each for each in found if each.until >= on]


def _until(cover: Cover, mended_on: date, again: bool) -> date:
    house = Workshop.objects.current()
    assert cover.until
    if not again or house is None:
        return cover.until
    return again_until(cover.until, cover.months, mended_on, AgainRule(house.again_rule), house.again_months)


def _judged_done(job: Job) -> Judged | None:
    """The judgement by which something was mended again at no charge."""
    judged = Judged.objects.filter(job=job).select_related("cover").first()
    return judged if judged and judged.is_done_free and judged.again != FailedAgain.NOTHING else None


def _mended_again(job: Job, stands: Iterable[Cover]) -> set[int]:
    """Which of them were mended again: the one that the claim was judged by, else those of the mechanisms that its findings name."""
    judged = _judged_done(job)
    if judged is None:
        return set()
    if judged.cover:
        return {judged.cover.as_it_stands().pk}
    found = job.findings.standing().exclude(certainty=Certainty.RULED_OUT)
    named = set(found.values_list("mechanism", flat=True))
    return {cover.pk for cover in stands if cover.mechanism in named}


def _carry_over(warranty: Warranty, stands: Iterable[_StandsOn]) -> None:
    for each in stands:
        cover = each.cover
        Cover.objects.create(
            warranty=warranty,
            line=cover.line,
            what=cover.what,
            mechanism=cover.mechanism,
            months=cover.months,
            until=each.until,
            goes_on_from=cover if each.again else None,
        )


def _told_and_left(job: Job, agreed: list[Line], mended: set[str]) -> list[Finding]:
    """Standing findings that no agreed line answers, other than those that clear a suspicion or are only good to know.

    After a claim that was done at no charge no line answers anything: what explained its story, and what is of a mechanism that was
    mended again, was not left.
    """
    answered = Finding.objects.filter(lines__in=agreed)
    standing = job.findings.standing().exclude(certainty=Certainty.RULED_OUT).exclude(effect=Effect.KNOW)
    if _judged_done(job):
        standing = standing.exclude(bearing=Bearing.EXPLAINS).exclude(mechanism__in=mended)
    return list(standing.exclude(pk__in=answered))
