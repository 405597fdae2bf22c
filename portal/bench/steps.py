"""What can be done next at the bench: the one step that the stage asks for, and the other moves that are allowed.

Which stages allow what comes from `jobs.stages`; here are only the words on the button and where it leads.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache

from django.db.models import Exists, OuterRef, QuerySet, Subquery
from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs import stages
from jobs.actions.quote import MAY_WRITE_QUOTE
from jobs.actions.working import MAY_MEASURE
from jobs.models import Enquiry, Finding, Job, Judged, Line, Question, Quote, Tried
from jobs.words import Holder, ReturnBy, Stage


@dataclass(frozen=True)
class Step:
    """`press`: one press does it (a POST). Otherwise the address is a page with a form."""

    words: str
    address: str
    press: bool = False


def seen_from_the_bench() -> QuerySet[Job]:
    """Jobs with what `next_step` asks about, in one query however many there are."""
    return Job.objects.with_people().annotate(**_asked_about())


@cache
def _asked_about() -> dict[str, Subquery]:
    """Put together once: none of it depends on the job or the hour. `annotate` works on copies."""
    waiting = Question.objects.unanswered().filter(job=OuterRef("pk")).order_by("asked_at", "pk")
    enquiries = Enquiry.objects.open().filter(job=OuterRef("pk"), work_waits=True).order_by("asked_at", "pk")
    findings = Finding.objects.standing().filter(job=OuterRef("pk"))
    last_quote = Quote.objects.filter(job=OuterRef("pk")).order_by("-n")
    tries = Line.objects.asked().filter(
        quote__job=OuterRef("pk"), choice__yes=True, outcomes__isnull=False, tried__isnull=True
    )
    sent_since = Quote.objects.filter(job=OuterRef("line__quote__job"), sent_at__gte=OuterRef("at"))
    stopped = Tried.objects.filter(~Exists(sent_since), line__quote__job=OuterRef("pk"), then=Tried.Then.ASKS)
    return {
        "waiting_question": Subquery(waiting.values("pk")[:1]),
        "waiting_enquiry": Subquery(enquiries.values("pk")[:1]),
        "has_findings": Exists(findings),
        "is_judged": Exists(Judged.objects.filter(job=OuterRef("pk"))),
        "last_quote_state": Subquery(last_quote.values("state")[:1]),
        "has_agreed": Exists(Quote.objects.filter(job=OuterRef("pk"), state=Quote.State.ANSWERED)),
        "try_waits": Exists(tries),
        "stopped_to_ask": Exists(stopped),
    }


def next_step(job: Job) -> Step | None:
    """The one step that comes first; None when the job is over. `job` comes from `seen_from_the_bench`."""
    if job.waiting_question:
        words = _("Answer %(called)s’s question") % {"called": job.customer.called}
        return Step(words, reverse("bench_answer", args=[job.ref, job.waiting_question]))
    if job.waiting_enquiry and job.holder == Holder.CUSTOMER:
        return Step(_("Note what they said"), reverse("bench_they_said", args=[job.ref, job.waiting_enquiry]))
    return stage_step(job)


def other_steps(job: Job) -> list[Step]:
    """Every other move that is allowed now, the usual ones first."""
    first = next_step(job)
    found = [step for step in (stage_step(job), *_offers(job)) if step]
    kept: dict[tuple[str, bool], Step] = {}
    for step in found:
        if first is None or step.address != first.address:
            kept.setdefault((step.address, step.press), step)
    return list(kept.values())


def stage_step(job: Job) -> Step | None:
    """What the stage itself asks for."""
    here = Stage(job.stage)
    if here == Stage.EXAMINING:
        return _while_examining(job)
    if here == Stage.QUOTED:
        return _while_quoted(job)
    if _waits_for_money(job):
        return _step(job, _("Note the payment"), "bench_payments")
    if here in (Stage.READY, Stage.RETURNED, Stage.WITHDRAWN):
        return _on_the_way_home(job)
    if here in stages.MAY_SUPPLEMENT and (step := _while_agreed(job)):
        return step
    words, name, press = _PLAIN[here]
    return _step(job, str(words), name, press)


_PLAIN: dict[Stage, tuple[Promise, str, bool]] = {
    Stage.EXPECTED: (gettext_lazy("Note what came"), "bench_arrival", False),
    Stage.ARRIVED: (gettext_lazy("Start the examination"), "bench_examine", True),
    Stage.AGREED: (gettext_lazy("Start the work"), "bench_work", True),
    Stage.AWAITING_PART: (gettext_lazy("The part came"), "bench_part_came", True),
    Stage.IN_WORK: (gettext_lazy("Start the testing"), "bench_prove", True),
    Stage.PROVING: (gettext_lazy("Note the tests"), "bench_proving", False),
}


def _while_examining(job: Job) -> Step:
    if not job.has_findings:
        return _step(job, _("Post a finding"), "bench_finding_new")
    if not job.story_answer:
        return _step(job, _("Answer the story"), "bench_story")
    if is_to_be_judged(job):
        return _step(job, _("Decide the claim"), "bench_claim")
    return _step(job, _("Write the quote"), "bench_quote")


def is_to_be_judged(job: Job) -> bool:
    """A claim that nobody has decided yet."""
    return bool(job.claim_on_id) and not job.is_judged


def _while_quoted(job: Job) -> Step:
    if job.last_quote_state == Quote.State.LAPSED:
        return _step(job, _("Send the same quote again"), "bench_quote_renew", press=True)
    if job.last_quote_state == Quote.State.DRAFT:
        return _step(job, _("Go on with the new quote"), "bench_quote")
    return _step(job, _("Note an answer by telephone"), "bench_call")


def _waits_for_money(job: Job) -> bool:
    """As `Job.waits_for_money`, without a query: a deposit, or what is due before it goes into the post."""
    if job.holder != Holder.CUSTOMER:
        return False
    if job.stage == Stage.AGREED and not job.waiting_enquiry:
        return job.last_quote_state == Quote.State.ANSWERED
    return job.stage in stages.TO_LEAVE and job.return_by == ReturnBy.POST


def _while_agreed(job: Job) -> Step | None:
    """What comes before the work goes on: an answer or money that it waits for, a stop after a try, a try that nobody has noted."""
    if job.holder == Holder.CUSTOMER:
        if job.last_quote_state == Quote.State.OPEN:
            return _step(job, _("Note an answer by telephone"), "bench_call")
        if not job.waiting_enquiry:
            return _step(
                job, _("Note the payment"), "bench_payments"
            )  # a deposit, while more is being quoted
    if job.stopped_to_ask:
        return _step(job, supplement_words(job), "bench_quote")
    if job.try_waits and job.stage == Stage.IN_WORK:
        return Step(_("Note what came out of the try"), reverse("bench_job", args=[job.ref]) + "#tries")
    return None


def supplement_words(job: Job) -> str:
    """The words on the way to a quote, at the stage and with the draft that there are."""
    added = job.stage in stages.MAY_SUPPLEMENT and job.has_agreed
    if job.last_quote_state == Quote.State.DRAFT:
        return _("Go on with the supplementary quote") if added else _("Go on with the quote")
    return _("Write a supplementary quote") if added else _("Write a quote")


def may_quote(job: Job) -> bool:
    """Once work is agreed only a quote can be added to, and there is one."""
    if job.stage in stages.MAY_SUPPLEMENT:
        return bool(job.has_agreed)
    return job.stage in MAY_WRITE_QUOTE


def _on_the_way_home(job: Job) -> Step | None:
    if job.holder == Holder.WORKSHOP:
        return _step(job, _("Send it home"), "bench_send_back")
    if job.holder == Holder.CUSTOMER:
        return _step(job, _("Hand it over"), "bench_send_back")
    if job.holder == Holder.CARRIER:
        return _step(job, _("It has been delivered"), "bench_delivered")
    return None


Allowed = Callable[[Job], bool]

# Words, address, press, and when. In the order in which they are offered.
_OFFERS: list[tuple[Promise, str, bool, Allowed]] = [
    (
        gettext_lazy("Post a finding"),
        "bench_finding_new",
        False,
        lambda job: job.stage in stages.MAY_POST_FINDINGS,
    ),
    (
        gettext_lazy("Answer the story"),
        "bench_story",
        False,
        lambda job: job.stage in stages.MAY_POST_FINDINGS,
    ),
    (gettext_lazy("Write a quote"), "bench_quote", False, may_quote),
    (
        gettext_lazy("Note an answer by telephone"),
        "bench_call",
        False,
        lambda job: job.last_quote_state == Quote.State.OPEN,
    ),
    (
        gettext_lazy("Take the quote back"),
        "bench_quote_back",
        True,
        lambda job: job.last_quote_state == Quote.State.OPEN,
    ),
    (
        gettext_lazy("Decide the claim"),
        "bench_claim",
        False,
        lambda job: job.stage == Stage.EXAMINING and is_to_be_judged(job),
    ),
    (gettext_lazy("Ask them something"), "bench_ask_them", False, lambda job: not job.is_over),
    (gettext_lazy("Give dates"), "bench_promise", False, lambda job: not job.is_over),
    (gettext_lazy("Wait for a part"), "bench_part", False, lambda job: _may(job, Stage.AWAITING_PART)),
    (gettext_lazy("Start the work"), "bench_work", True, lambda job: job.stage == Stage.AWAITING_PART),
    (gettext_lazy("Shutter times"), "bench_times", False, lambda job: job.stage in MAY_MEASURE),
    (gettext_lazy("Photographs of the result"), "bench_results", False, lambda job: job.stage in AFTER_WORK),
    (
        gettext_lazy("Send it home"),
        "bench_send_back",
        False,
        lambda job: job.stage in stages.TO_LEAVE and _waits_for_money(job),
    ),
    (gettext_lazy("Test it once more"), "bench_prove", True, lambda job: job.stage == Stage.READY),
    (
        gettext_lazy("There is nothing to mend"),
        "bench_nothing",
        False,
        lambda job: job.stage == Stage.EXAMINING and not is_to_be_judged(job),
    ),
    (gettext_lazy("Note a payment"), "bench_payments", False, lambda job: job.stage != Stage.EXPECTED),
    (gettext_lazy("End it without repair"), "bench_withdraw", False, lambda job: job.may_be_withdrawn),
]
AFTER_WORK = frozenset({Stage.IN_WORK, Stage.PROVING, Stage.READY})


def _offers(job: Job) -> Iterator[Step]:
    for words, name, press, allowed in _OFFERS:
        if allowed(job):
            said = supplement_words(job) if name == "bench_quote" else str(words)
            yield _step(job, said, name, press)


def _may(job: Job, there: Stage) -> bool:
    return stages.may_move(Stage(job.stage), there)


def _step(job: Job, words: str, name: str, press: bool = False) -> Step:
    return Step(words, reverse(name, args=[job.ref]), press)
