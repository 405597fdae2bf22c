"""The customer answers a quote: line by line and branch by branch, once, on exactly what they saw."""

import secrets
from collections.abc import Collection
from dataclasses import dataclass, field, replace
from datetime import timedelta
from hashlib import sha256
from typing import Any

from django.utils import timezone
from django.utils.translation import gettext as _

from jobs import evidence, journal
from jobs.accounts import Account, account
from jobs.actions.moving import changing, hand_back, hand_to, move
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.adding_up import Fault, Reckoned, Sheet, faults, tidy
from jobs.canonical import canonical, digest, salted
from jobs.models import Choice, Decision, Job, Kind, Paper, PrivateLink, Quote, Trace
from jobs.words import Holder, Stage

TRACE_KEPT_DAYS = 400


@dataclass(frozen=True)
class Origin:
    """From where an answer came: kept beside the evidence, and erased in time."""

    address: str = ""
    agent: str = ""
    link: PrivateLink | None = None
    session: str = ""  # digest of the session's key, never the key


@dataclass(frozen=True)
class Answer:
    """What was put to us: the hash of the quote as it was on their screen, the lines and branches they want, their name as typed.

    `ceiling`: minor units that the work may not pass without asking, None for none set. `button`: the words that they pressed.
    `page`: the page as it stood, as they saw it. `code_used`: they typed a code that went to their own address.
    """

    shown_hash: str
    yes: Collection[int]
    name: str
    sentence: str
    way: Decision.Way = Decision.Way.PAGE
    noted_by: str = ""
    ceiling: int | None = None
    button: str = ""
    page: bytes = field(default=b"", repr=False)
    code_used: bool = False


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


def decide(quote: Quote, answer: Answer, by: Actor, origin: Origin = Origin()) -> Outcome:
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
        decision = _store(quote, sheet, sums, answer, origin)
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
        journal.append(job, Kind.DECIDED, by, {**_told(decision), "holder": job.holder})
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


def _store(quote: Quote, sheet: Sheet, sums: Reckoned, answer: Answer, origin: Origin) -> Decision:
    wanted = tidy(sheet, answer.yes)
    nothing = quote.is_supplementary and not sums.rows
    choices = [
        (pk, not nothing and (item.is_fixed or pk in wanted)) for pk, item in sorted(sheet.by_id.items())
    ]
    salt = secrets.token_urlsafe(32)
    # Cut to what its columns hold before it is hashed, so that the two can be compared. PostgreSQL holds no NUL.
    address, agent = (text.replace("\0", "") for text in (origin.address, origin.agent))
    origin = replace(origin, address=address[:45], agent=agent[:400])
    at = timezone.now()
    record = canonical(_record(quote, answer, origin, sums, choices, salt, at.isoformat()))
    decision = Decision.objects.create(
        quote=quote,
        at=at,
        way=answer.way,
        name=answer.name.strip(),
        noted_by=answer.noted_by,
        sentence=answer.sentence,
        shown_hash=quote.shown_hash,
        shown=quote.shown,
        net=sums.total.net,
        tax=sums.total.tax,
        gross=sums.total.gross,
        lowest=sums.lowest,
        highest=sums.highest,
        ceiling=answer.ceiling,
        record=record,
        record_hash=digest(record),
    )
    Choice.objects.bulk_create([Choice(decision=decision, line_id=pk, yes=yes) for pk, yes in choices])
    _trace(decision, origin, salt)
    if answer.page:
        keep_paper(quote.job, Paper.Kind.PAGE, answer.page, decision)
    return decision


def _record(
    quote: Quote,
    answer: Answer,
    origin: Origin,
    sums: Reckoned,
    choices: list[tuple[int, bool]],
    salt: str,
    at: str,
) -> dict[str, Any]:
    """Everything that is noted of an answer. What must be erased in time is in it as a salted hash only; `Trace` has the rest."""
    link = origin.link
    return {
        "v": evidence.RECORD_VERSION,
        "job": quote.job.ref,
        "quote": quote.n,
        "shown": quote.shown_hash,
        "choices": [[pk, yes] for pk, yes in choices],
        "ceiling": answer.ceiling,
        "currency": quote.currency,
        "net": sums.total.net,
        "tax": sums.total.tax,
        "gross": sums.total.gross,
        "lowest": sums.lowest,
        "expected": sums.expected,
        "highest": sums.highest,
        "way": answer.way.value if isinstance(answer.way, Decision.Way) else answer.way,
        "name": answer.name.strip(),
        "noted_by": answer.noted_by,
        "sentence": answer.sentence,
        "button": answer.button,
        "code_used": answer.code_used,
        "at": at,
        "page": sha256(answer.page).hexdigest() if answer.page else "",
        "link": {"id": link.pk if link else None, "made_for": salted(salt, link.made_for if link else "")},
        "address": salted(salt, origin.address),
        "agent": salted(salt, origin.agent),
        "session": origin.session,
    }


def keep_paper(job: Job, kind: Paper.Kind, body: bytes, decision: Decision | None = None) -> Paper:
    """Keep a document word for word."""
    return Paper.objects.create(
        job=job,
        kind=kind,
        decision=decision,
        body=body,
        sha256=sha256(body).hexdigest(),
        made_at=timezone.now(),
    )


def _trace(decision: Decision, origin: Origin, salt: str) -> None:
    Trace.objects.create(
        decision=decision,
        address=origin.address,
        agent=origin.agent,
        link=origin.link,
        salt=salt,
        erase_after=timezone.localdate() + timedelta(days=TRACE_KEPT_DAYS),
    )


def _told(decision: Decision) -> dict[str, object]:
    choices = decision.choices.order_by("line__position").values_list("line_id", "yes")
    return {
        "quote": decision.quote.n,
        "adds_to": decision.quote.adds_to.n if decision.quote.adds_to else None,
        "hash": decision.shown_hash,
        "record": decision.record_hash,
        "way": decision.way,
        "name": decision.name,
        "sentence": decision.sentence,
        "choices": [[line, yes] for line, yes in choices],
        "gross": decision.gross,
        "highest": decision.highest,
        "ceiling": decision.ceiling,
        "deposit": decision.quote.deposit,
        "currency": decision.quote.currency,
        "agreed": decision.agreed_anything,
    }
