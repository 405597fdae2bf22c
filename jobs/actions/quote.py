"""Quotes: written in draft, sent, replaced, added to, lapsed, renewed. A sent quote's lines never change."""

from dataclasses import dataclass
from datetime import date, timedelta

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs import journal, stages
from jobs.actions.moving import changing, hand_back, hand_to, move, require
from jobs.actions.quote_checks import must_add_up, must_make_sense
from jobs.actions.quote_drafts import new_draft
from jobs.actions.quote_lines import (
    LineDraft,
    OutcomeDraft,
    must_be_draft,
    price_of,
    put_line,
    remove_line,
)
from jobs.actions.refusals import Refused
from jobs.actor import HOUSE, Actor
from jobs.canonical import digest
from jobs.evidence import shown_to_the_customer
from jobs.models import Job, Kind, Quote, Workshop
from jobs.words import Holder, Stage

__all__ = [
    "MAY_WRITE_QUOTE",
    "LineDraft",
    "OutcomeDraft",
    "Sending",
    "draft_quote",
    "drop_draft",
    "lapse",
    "price_of",
    "put_line",
    "remove_line",
    "renew",
    "send_quote",
    "take_back_quote",
]

ANSWERED = Quote.State.ANSWERED
BEFORE_AGREEMENT = frozenset({Stage.EXAMINING, Stage.QUOTED})
MAY_WRITE_QUOTE = BEFORE_AGREEMENT | stages.MAY_SUPPLEMENT


@dataclass(frozen=True)
class Sending:
    """What goes with a quote when it is sent. `deposit` in minor units; `work_waits` for a supplementary one only."""

    valid_until: date | None = None
    note: str = ""
    deposit: int = 0
    if_declined: str = ""
    if_declined_note: str = ""
    work_waits: bool = False


def draft_quote(job: Job) -> Quote:
    """The quote being written: the one there is, or a new one.

    After a sent one it starts as a copy of it; once work is agreed it is a supplementary one, and starts empty. Raises Refused where
    work is agreed without a quote: under warranty there is none that could be added to.
    """
    with changing(job) as fresh:
        require(fresh, MAY_WRITE_QUOTE)
        if fresh.stage in stages.MAY_SUPPLEMENT and not fresh.quotes.filter(state=ANSWERED).exists():
            raise Refused(_("This is done at no charge. There is no quote here that could be added to."))
        draft = fresh.quotes.filter(state=Quote.State.DRAFT).first()
        if draft and not draft.is_supplementary and fresh.stage in stages.MAY_SUPPLEMENT:
            draft.delete()  # it was to replace a quote that has been agreed since
            draft = None
        return draft or new_draft(fresh)


def drop_draft(quote: Quote) -> None:
    """Throw a draft away. One that was sent stays."""
    with changing(quote.job):
        must_be_draft(quote)
        quote.delete()


def send_quote(
    quote: Quote, by: Actor, valid_until: date | None = None, note: str = "", sending: Sending | None = None
) -> Quote:
    """Send a draft: freeze what is shown, replace the quote that was open, make it the customer's move.

    A supplementary one leaves the agreed work going on, unless it waits for the answer. Raises Refused for a quote without a line to
    choose, with lines that cannot be chosen together as they ask, or with a date that has passed.
    """
    how = sending or Sending(valid_until, note)
    with changing(quote.job) as job:
        must_be_draft(quote)
        require(job, stages.MAY_SUPPLEMENT if quote.is_supplementary else BEFORE_AGREEMENT)
        lines = list(quote.lines.asked().prefetch_related("requires"))
        must_make_sense(lines)
        must_add_up(quote)
        quote.valid_until = how.valid_until or _usual_validity()
        if quote.valid_until < timezone.localdate():
            raise Refused(_("That day has passed. Choose a later one."), "valid_until")
        replaced = job.quotes.open().update(state=Quote.State.REPLACED)
        quote.note, quote.state, quote.sent_at = how.note, Quote.State.OPEN, timezone.now()
        quote.deposit, quote.if_declined = how.deposit, how.if_declined
        quote.if_declined_note = how.if_declined_note
        quote.work_waits = how.work_waits and quote.is_supplementary
        quote.shown = shown_to_the_customer(quote)
        quote.shown_hash = digest(quote.shown)
        quote.save()
        _whose_move(job, quote)
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
                "adds_to": quote.adds_to.n if quote.adds_to else None,
                "work_waits": quote.work_waits,
                "holder": job.holder,
            },
        )
        return quote


def take_back_quote(job: Job, by: Actor) -> None:
    """Take an open quote back to look further. It can no longer be answered; agreed work goes on."""
    with changing(job) as fresh:
        quote = fresh.quotes.open().first()
        if quote is None:
            raise Refused(_("There is no quote to take back."))
        fresh.quotes.open().update(state=Quote.State.REPLACED)
        if quote.is_supplementary:
            hand_back(fresh)
        else:
            move(fresh, Stage.EXAMINING)
        journal.append(
            fresh,
            Kind.QUOTE_WITHDRAWN,
            by,
            {"quote": quote.n, "adds": quote.is_supplementary, "holder": fresh.holder},
        )


def lapse(quote: Quote) -> bool:
    """Let a quote lapse whose last day has passed. Returns whether it did; an answer in the same second wins or loses whole."""
    with changing(quote.job) as job:
        done = (
            Quote.objects.past_validity(timezone.localdate())
            .filter(pk=quote.pk)
            .update(state=Quote.State.LAPSED)
        )
        if done:
            if quote.is_supplementary:
                hand_back(job)
            journal.append(job, Kind.QUOTE_LAPSED, HOUSE, {"quote": quote.n, "holder": job.holder})
        return bool(done)


@transaction.atomic
def renew(job: Job, by: Actor) -> Quote:
    """Offer the last lapsed quote again at the same prices, with a new last day.

    Its tax and its examination stay as they were too, whatever the workshop has changed since. Raises Refused, and leaves no draft.
    """
    with changing(job) as fresh:
        if fresh.quotes.filter(state__in=[Quote.State.OPEN, Quote.State.DRAFT]).exists():
            raise Refused(_("There is a newer quote already."))
        last = fresh.quotes.order_by("-n").first()
        if last is None or last.state != Quote.State.LAPSED:
            raise Refused(_("Only a quote that has lapsed can be renewed."))
        quote = new_draft(fresh, taxed_as=last)
    how = Sending(
        note=last.note,
        deposit=last.deposit,
        if_declined=last.if_declined,
        if_declined_note=last.if_declined_note,
        work_waits=last.work_waits,
    )
    return send_quote(quote, by, sending=how)


def _whose_move(job: Job, quote: Quote) -> None:
    if not quote.is_supplementary:
        if job.stage != Stage.QUOTED:
            move(job, Stage.QUOTED)
    elif quote.work_waits:
        hand_to(job, Holder.CUSTOMER)
    else:
        hand_back(job)  # it may replace one that the work waited for


def _usual_validity() -> date:
    house = Workshop.objects.current()
    return timezone.localdate() + timedelta(days=house.quote_days if house else 28)
