"""Quotes: written in draft, sent, replaced, lapsed, renewed. A sent quote's lines never change."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Max
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs import journal
from jobs.actions.moving import changing, move, require
from jobs.actions.refusals import Refused
from jobs.actor import HOUSE, Actor
from jobs.canonical import digest
from jobs.evidence import shown_to_the_customer
from jobs.models import Finding, Job, Kind, Line, Quote, Workshop
from jobs.words import Stage

MAY_WRITE_QUOTE = frozenset({Stage.EXAMINING, Stage.QUOTED})


@dataclass(frozen=True)
class LineDraft:
    """One line as the technician writes it. `price` in minor units."""

    kind: str
    need: str
    title: str
    price: int
    why: str = ""
    months: int = 12
    findings: Sequence[Finding] = ()


def draft_quote(job: Job) -> Quote:
    """The quote being written: the one there is, or a new one. After a sent one it starts as a copy of it."""
    with changing(job) as fresh:
        require(fresh, MAY_WRITE_QUOTE)
        draft = fresh.quotes.filter(state=Quote.State.DRAFT).first()
        return draft or _new_draft(fresh)


def put_line(quote: Quote, line: LineDraft, old: Line | None = None) -> Line:
    """Add a line to a draft, or write over one of its lines. Raises Refused for a finding of another job.

    A new line equal to one that is there is that one: a form sent twice adds one line.
    """
    if not line.title.strip():
        raise Refused(_("Say what this line is for."), "title")
    if any(finding.job_id != quote.job_id for finding in line.findings):
        raise Refused(_("That finding belongs to another job."), "findings")
    with changing(quote.job):
        _must_be_draft(quote)
        said = {name: getattr(line, name) for name in ("kind", "need", "title", "why", "price", "months")}
        row = old or quote.lines.filter(**said).first() or Line(quote=quote, position=_next_position(quote))
        for name, value in said.items():
            setattr(row, name, value)
        row.save()
        row.findings.set(line.findings)
        return row


def remove_line(line: Line) -> None:
    with changing(line.quote.job):
        _must_be_draft(line.quote)
        line.delete()


def send_quote(quote: Quote, by: Actor, valid_until: date | None = None, note: str = "") -> Quote:
    """Send a draft: freeze what is shown, replace the quote that was open, make it the customer's move.

    Raises Refused for a quote without a line to choose, or with a date that has passed.
    """
    with changing(quote.job) as job:
        _must_be_draft(quote)
        lines = list(quote.lines.all())
        if all(line.is_fixed for line in lines):
            raise Refused(_("A quote needs at least one line of work or part."))
        quote.valid_until = valid_until or _usual_validity()
        if quote.valid_until < timezone.localdate():
            raise Refused(_("That day has passed. Choose a later one."), "valid_until")
        replaced = job.quotes.open().update(state=Quote.State.REPLACED)
        quote.note, quote.state, quote.sent_at = note, Quote.State.OPEN, timezone.now()
        quote.shown = shown_to_the_customer(quote)
        quote.shown_hash = digest(quote.shown)
        quote.save()
        if job.stage != Stage.QUOTED:
            move(job, Stage.QUOTED)
        journal.append(
            job,
            Kind.QUOTE_SENT,
            by,
            {
                "quote": quote.n,
                "lines": len(lines),
                "valid_until": quote.valid_until.isoformat(),
                "hash": quote.shown_hash,
                "replaces": bool(replaced),
            },
        )
        return quote


def take_back_quote(job: Job, by: Actor) -> None:
    """Take an open quote back to examine further. It can no longer be answered."""
    with changing(job) as fresh:
        quote = fresh.quotes.open().first()
        if quote is None:
            raise Refused(_("There is no quote to take back."))
        fresh.quotes.open().update(state=Quote.State.REPLACED)
        move(fresh, Stage.EXAMINING)
        journal.append(fresh, Kind.QUOTE_WITHDRAWN, by, {"quote": quote.n})


def lapse(quote: Quote) -> bool:
    """Let a quote lapse whose last day has passed. Returns whether it did; an answer in the same second wins or loses whole."""
    with changing(quote.job) as job:
        done = (
            Quote.objects.past_validity(timezone.localdate())
            .filter(pk=quote.pk)
            .update(state=Quote.State.LAPSED)
        )
        if done:
            journal.append(job, Kind.QUOTE_LAPSED, HOUSE, {"quote": quote.n})
        return bool(done)


def renew(job: Job, by: Actor) -> Quote:
    """Offer the last lapsed quote again at the same prices, with a new last day."""
    with changing(job) as fresh:
        if fresh.quotes.filter(state__in=[Quote.State.OPEN, Quote.State.DRAFT]).exists():
            raise Refused(_("There is a newer quote already."))
        last = fresh.quotes.order_by("-n").first()
        if last is None or last.state != Quote.State.LAPSED:
            raise Refused(_("Only a quote that has lapsed can be renewed."))
        quote = _new_draft(fresh)
    return send_quote(quote, by, note=last.note)


def _new_draft(job: Job) -> Quote:
    house = Workshop.objects.current()
    if house is None:
        raise Refused(_("Set up the workshop first."))
    last = job.quotes.order_by("-n").first()
    quote = Quote.objects.create(
        job=job,
        n=last.n + 1 if last else 1,
        currency=house.currency,
        tax_mode=house.tax_mode,
        tax_name=house.tax_name,
        tax_rate_bp=house.tax_rate_bp,
        note=last.note if last else "",
    )
    for line in last.lines.all() if last else []:
        _copy(line, quote)
    return quote


def _copy(line: Line, quote: Quote) -> None:
    findings = list(line.findings.all())
    line.pk, line.quote, line._state.adding = None, quote, True
    line.save()
    line.findings.set(findings)


def _next_position(quote: Quote) -> int:
    last = quote.lines.aggregate(last=Max("position"))["last"]
    return (last or 0) + 1


def _must_be_draft(quote: Quote) -> None:
    quote.refresh_from_db(fields=["state"])
    if quote.state != Quote.State.DRAFT:
        raise Refused(_("This quote has been sent. Write a new one instead."))


def _usual_validity() -> date:
    house = Workshop.objects.current()
    return timezone.localdate() + timedelta(days=house.quote_days if house else 28)
