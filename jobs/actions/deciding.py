"""The customer answers a quote: line by line and branch by branch, once, on exactly what they saw."""

from collections.abc import Collection
from dataclasses import dataclass, replace

from django.utils import timezone
from django.utils.translation import gettext as _

from jobs import evidence, journal
from jobs.accounts import Account, account
from jobs.actions.moving import changing, hand_back, hand_to, move
from jobs.actions.recording import UNKNOWN, Answer, Origin, store, told
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.adding_up import Fault, Reckoned, Sheet, faults
from jobs.models import Decision, Kind, Quote
from jobs.words import Holder, Stage

__all__ = [
    "Answer",
    "AnsweredBefore",
    "Decided",
    "Lapsed",
    "Origin",
    "Outcome",
    "Replaced",
    "decide",
    "is_ceiling_too_low",
    "why_impossible",
]


@dataclass(frozen=True)
class Decided:
    decision: Decision


@dataclass(frozen=True)
class Replaced:
    """The quote on their screen is not the one that stands: `now` is, or None if none waits for an answer."""

    now: Quote | None


@dataclass(frozen=True)
class Lapsed:
    quote: Quote


@dataclass(frozen=True)
class AnsweredBefore:
    decision: Decision


Outcome = Decided | Replaced | Lapsed | AnsweredBefore


def decide(quote: Quote, answer: Answer, by: Actor, origin: Origin = UNKNOWN) -> Outcome:
    """Store the answer to `quote` and move the job: to *agreed*, or to *withdrawn* when nothing was agreed.

    The answer to a supplementary quote moves nothing: agreed work goes on, with what was added or without. Raises Refused without a
    name, and for lines that cannot be chosen so. One answer wins: everything is looked at again inside the job's lock.
    """
    if not answer.name.strip():
        raise Refused(_("Type your full name. It stands for your signature."), "name")
    with changing(quote.job) as job:
        quote.refresh_from_db()
        if not_open := _why_not_open(quote, answer):
            return not_open
        sheet = evidence.sheet(quote)
        sums = _must_be_possible(quote, sheet, answer)
        decision = store(quote, sheet, sums, answer, origin)
        Quote.objects.filter(pk=quote.pk).update(state=Quote.State.ANSWERED)
        if not quote.is_supplementary:
            paid = account(job).paid
            there = Stage.AGREED if decision.agreed_anything else Stage.WITHDRAWN
            move(job, there, due=decision.gross - paid)
            # Never more of the deposit than is to be paid at all: it would be waited for and asked of nobody.
            if decision.agreed_anything and min(quote.deposit, decision.gross) > paid:
                hand_to(job, Holder.CUSTOMER)
        else:
            hand_back(job, _with(account(job), decision))
        journal.append(job, Kind.DECIDED, by, {**told(decision), "holder": job.holder})
        return Decided(decision)


def why_impossible(sheet: Sheet, yes: Collection[int]) -> list[tuple[int, str]]:
    """What is wrong with an answer, as (line, sentence); empty when it can be given. Unknown lines stand under 0."""
    return [
        (0 if fault.kind == "unknown" else fault.id, _fault_words(sheet, fault))
        for fault in faults(sheet, yes)
    ]


def is_ceiling_too_low(sums: Reckoned, ceiling: int | None) -> bool:
    """Whether a ceiling is lower than the least that the answer can come to."""
    return ceiling is not None and ceiling < sums.lowest


def _fault_words(sheet: Sheet, fault: Fault) -> str:
    if fault.kind == "unknown":
        return _("There is a line here that this quote does not have. Load the page again.")
    title = sheet.by_id[fault.id].title
    if fault.kind == "needs":
        return _("“%(line)s” needs “%(other)s” as well. Say yes to both, or no to this one.") % {
            "line": title,
            "other": fault.other,
        }
    if fault.kind == "either":
        return _("Choose either “%(other)s” or “%(line)s”, not both.") % {"line": title, "other": fault.other}
    return _("Choose one thing that shall follow.")


def _with(stands: Account, decision: Decision) -> Account:
    """The account once a supplementary quote's answer is in it: the entry that says so follows."""
    if not decision.agreed_anything:
        return stands
    deposit = stands.deposit + decision.quote.deposit
    return replace(stands, agreed=stands.agreed + decision.gross, deposit=deposit)


def _must_be_possible(quote: Quote, sheet: Sheet, answer: Answer) -> Reckoned:
    """What it comes to; raises Refused where it cannot be given."""
    for line, sentence in why_impossible(sheet, answer.yes):
        raise Refused(sentence, f"line-{line}" if line else "")
    sums = evidence.reckon_answer(quote, sheet, answer.yes)
    if is_ceiling_too_low(sums, answer.ceiling):
        raise Refused(_("That is less than it can come to at the least."), "ceiling")
    return sums


def _why_not_open(quote: Quote, answer: Answer) -> Replaced | Lapsed | AnsweredBefore | None:
    if quote.state == Quote.State.ANSWERED:
        return AnsweredBefore(quote.decision)
    if quote.state == Quote.State.LAPSED or (quote.valid_until and quote.valid_until < timezone.localdate()):
        return Lapsed(quote)
    if quote.state != Quote.State.OPEN or quote.shown_hash != answer.shown_hash:
        return Replaced(quote.job.quotes.open().first())
    return None
