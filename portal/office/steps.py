"""What somebody has to do next about a job, in a few words, for the office."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from django.utils.formats import date_format
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.models import Job, Quote
from jobs.words import Holder, ReturnBy, Stage
from notifications.models import Owing

RING_AFTER_DAYS = 14  # a parcel that was announced and did not come


@dataclass(frozen=True)
class Facts:
    """What a step depends on beside the job. `next_nudge`: the day it goes by itself. `part_due`: when the awaited part should be here.
    `to_pay`: whether something is asked for now. `chase`: how far the quote's chasing has come, a value of Owing.State.
    `asked`: whether they owe an answer to a question of ours.
    """

    today: date
    quote: Quote | None = None
    next_nudge: date | None = None
    question_waits: bool = False
    part_due: date | None = None
    to_pay: bool = False
    chase: str = Owing.State.CALL
    asked: bool = False


@dataclass(frozen=True)
class Step:
    """`ring`: this one is for the telephone."""

    words: str
    ring: bool = False


# Whose move it is decides; within that, the stage.
PLAIN: dict[tuple[str, str], Promise] = {
    (Holder.WORKSHOP, Stage.ARRIVED): gettext_lazy("examine"),
    (Holder.WORKSHOP, Stage.EXAMINING): gettext_lazy("examine, then quote"),
    (Holder.WORKSHOP, Stage.AGREED): gettext_lazy("start the work"),
    (Holder.WORKSHOP, Stage.IN_WORK): gettext_lazy("in work"),
    (Holder.WORKSHOP, Stage.PROVING): gettext_lazy("prove"),
    (Holder.WORKSHOP, Stage.READY): gettext_lazy("pack and post"),
    (Holder.WORKSHOP, Stage.WITHDRAWN): gettext_lazy("pack and post, as it is"),
    (Holder.CARRIER, Stage.EXPECTED): gettext_lazy("on its way here"),
    (Holder.CARRIER, Stage.RETURNED): gettext_lazy("on its way home"),
    (Holder.CARRIER, Stage.WITHDRAWN): gettext_lazy("on its way home, as it is"),
}


def next_step(job: Job, facts: Facts) -> Step:
    if facts.question_waits:
        return Step(_("answer their question"))
    special = SPECIAL.get((job.holder, job.stage))
    step = special(job, facts) if special else Step(str(PLAIN.get((job.holder, job.stage), "")))
    if job.holder != Holder.CUSTOMER and facts.quote is not None and facts.quote.state == Quote.State.OPEN:
        return Step(_("%(step)s; they owe an answer to one thing more") % {"step": step.words}, step.ring)
    if job.holder != Holder.CUSTOMER and facts.asked:
        return Step(_("%(step)s; they owe an answer to our question") % {"step": step.words}, step.ring)
    return step


def _expected(job: Job, facts: Facts) -> Step:
    if job.days_held() >= RING_AFTER_DAYS:
        return Step(_("ring: it has not come"), ring=True)
    return Step(_("they post it"))


def _at_work(job: Job, facts: Facts) -> Step:
    is_open = facts.quote is not None and facts.quote.state == Quote.State.OPEN
    return _quoted(job, facts) if is_open else _asked(job, facts)


def _quoted(job: Job, facts: Facts) -> Step:
    if facts.quote is None or facts.quote.state == Quote.State.LAPSED:
        return Step(_("the quote has lapsed: renew or ring"), ring=True)
    if facts.chase == Owing.State.PAUSED:
        return Step(_("reminders are paused"))
    if facts.next_nudge is None:
        return Step(_("ring"), ring=True) if facts.chase == Owing.State.CALL else Step(_("they answer"))
    if facts.next_nudge <= facts.today:
        return Step(_("reminder today"))
    return Step(_("reminder %(day)s") % {"day": date_format(facts.next_nudge, "D j M")})


def _asked(job: Job, facts: Facts) -> Step:
    """Work of ours that waits for their answer to our question."""
    return Step(_("they owe an answer to our question"))


def _part(job: Job, facts: Facts) -> Step:
    if facts.part_due is None:
        return Step(_("ask the supplier for a day"))
    day = date_format(facts.part_due, "D j M")
    if facts.part_due < facts.today:
        return Step(_("ask: the part was due %(day)s") % {"day": day})
    return Step(_("the part is due %(day)s") % {"day": day})


def _agreed(job: Job, facts: Facts) -> Step:
    """Agreed work that is the customer's move waits for an answer to one thing more, or for the deposit."""
    if facts.quote is not None and facts.quote.state == Quote.State.OPEN:
        return _quoted(job, facts)
    return Step(_("waits for the deposit")) if facts.to_pay else _asked(job, facts)


def _to_fetch_or_to_pay(job: Job, facts: Facts) -> Step:
    if job.return_by == ReturnBy.POST:
        return Step(_("waits for payment"))
    if job.stage == Stage.WITHDRAWN:
        return Step(_("they collect it, as it is"))
    return Step(_("they collect it and pay") if facts.to_pay else _("they collect it"))


def _over(job: Job, facts: Facts) -> Step:
    return Step(_("it went home before it was paid") if facts.to_pay else "")


SPECIAL: dict[tuple[str, str], Callable[[Job, Facts], Step]] = {
    (Holder.CUSTOMER, Stage.EXPECTED): _expected,
    (Holder.CUSTOMER, Stage.QUOTED): _quoted,
    (Holder.CUSTOMER, Stage.ARRIVED): _asked,
    (Holder.CUSTOMER, Stage.EXAMINING): _asked,
    (Holder.CUSTOMER, Stage.AGREED): _agreed,
    (Holder.CUSTOMER, Stage.AWAITING_PART): _at_work,
    (Holder.CUSTOMER, Stage.IN_WORK): _at_work,
    (Holder.CUSTOMER, Stage.PROVING): _at_work,
    (Holder.CUSTOMER, Stage.READY): _to_fetch_or_to_pay,
    (Holder.CUSTOMER, Stage.WITHDRAWN): _to_fetch_or_to_pay,
    (Holder.SUPPLIER, Stage.AWAITING_PART): _part,
    (Holder.NOBODY, Stage.RETURNED): _over,
    (Holder.NOBODY, Stage.WITHDRAWN): _over,
}
