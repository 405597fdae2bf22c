"""The workshop has looked at what came back, and decides: covered, done at no charge all the same, or not covered."""

from django.utils import timezone
from django.utils.translation import gettext as _

from jobs import journal
from jobs.actions.moving import changing, move, require
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.models import Cover, Job, Judged, Kind
from jobs.words import FailedAgain, Judgement, Stage

MOST_WORDS = Judged._meta.get_field("because").max_length or 0


def judge_claim(job: Job, judgement: str, again: str, cover: Cover | None, because: str, by: Actor) -> Judged:
    """Decide a claim that is being examined, once. `judgement` is a `Judgement`, `again` a `FailedAgain`.

    Covered or goodwill: agreed at no charge, and on to the bench. Not covered: it stays in the examination, the customer reads why and
    that it is for them to decide, and a quote can be written. `cover`: what of the first warranty it is about. Raises Refused.
    """
    said = because.strip()
    with changing(job) as fresh:
        _may_be_judged(fresh)
        _must_fit(fresh, Judgement(judgement), FailedAgain(again), cover, said)
        judged = Judged.objects.create(
            job=fresh,
            judgement=judgement,
            again=again,
            cover=cover,
            because=said,
            at=timezone.now(),
            by=by.name,
        )
        first = fresh.claim_on.ref if fresh.claim_on else ""
        about = {"claim_on": first, "because": said}
        told = about | {"judgement": judgement, "again": again, "cover": cover.what if cover else ""}
        if judged.is_done_free:
            move(fresh, Stage.AGREED)
        journal.append(fresh, Kind.CLAIM_JUDGED, by, told)
        if judged.is_done_free:
            goodwill = judgement == Judgement.GOODWILL
            journal.append(fresh, Kind.CLAIM_ACCEPTED, by, about | {"goodwill": goodwill})
        return judged


def _may_be_judged(job: Job) -> None:
    if job.claim_on_id is None:
        raise Refused(_("This job is not a warranty claim."))
    if Judged.objects.filter(job=job).exists():
        raise Refused(_("This claim has been decided already."))
    require(job, frozenset({Stage.EXAMINING}))


def _must_fit(job: Job, judgement: Judgement, again: FailedAgain, cover: Cover | None, because: str) -> None:
    if cover and cover.warranty.job_id != job.claim_on_id:
        raise Refused(_("That is no part of the warranty that this claim is on."), "cover")
    if cover is None and (judgement == Judgement.COVERED or again == FailedAgain.SAME):
        raise Refused(_("Choose which part of the warranty it is about."), "cover")
    if judgement == Judgement.COVERED and cover and cover.until is None:
        raise Refused(
            _("That was named as not covered. Choose another, or do it at no charge all the same."), "cover"
        )
    if judgement != Judgement.COVERED and not because:
        raise Refused(_("Say why, in a sentence. The customer reads it."), "because")
    if len(because) > MOST_WORDS:
        raise Refused(_("That is too long: %(most)s letters are the most.") % {"most": MOST_WORDS}, "because")
