"""An answer is kept word for word: its row, the record of all that was noted of it, the page as it stood, and where it came from."""

import secrets
from collections.abc import Collection
from dataclasses import dataclass, field, replace
from datetime import timedelta
from hashlib import sha256
from typing import Any

from django.utils import timezone

from jobs import evidence
from jobs.adding_up import Reckoned, Sheet, tidy
from jobs.canonical import canonical, digest, salted
from jobs.models import Choice, Decision, Job, Paper, PrivateLink, Quote, Trace

TRACE_KEPT_DAYS = 400


@dataclass(frozen=True)
class Origin:
    """From where an answer came: kept beside the evidence, and erased in time."""

    address: str = ""
    agent: str = ""
    link: PrivateLink | None = None
    session: str = ""  # digest of the session's key, never the key


UNKNOWN = Origin()


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


def store(quote: Quote, sheet: Sheet, sums: Reckoned, answer: Answer, origin: Origin) -> Decision:
    """Keep the answer, inside the job's lock. `sums`: what it comes to."""
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


def told(decision: Decision) -> dict[str, object]:
    """What the journal says of it."""
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
