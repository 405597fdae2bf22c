"""Copies to keep: a quote with its answer, or as it waits for one, as PDF."""

import logging
from io import BytesIO

from django.contrib import messages
from django.http import FileResponse, Http404, HttpRequest, HttpResponseBase
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.actions.papering import answer_paper
from jobs.answer_paper import file_name, pdf_of_offer
from jobs.evidence import content
from jobs.models import Job, Quote
from jobs.papers import CannotSet
from portal.answers import see_other
from portal.customer import offer, terms

log = logging.getLogger(__name__)


def quote_pdf(request: HttpRequest, job: Job, back: str) -> HttpResponseBase:
    """The PDF of a quote: of its answer, as it is kept, or of the offer, set anew each time. `?n=` picks one by its number.

    Looking makes the copy where the letter's writer has not made it yet, at most once. That decides nothing, moves nothing and says
    nothing about anybody: the answer stood before, and the same bytes would have been filed without this visit. Raises Http404.
    """
    quote = _which(job, request.GET.get("n", ""))
    try:
        body = _body(quote)
    except CannotSet:
        log.exception("the copy of quote %s could not be set", quote)
        messages.error(
            request, _("The copy could not be made just now. Please tell us; the page itself prints well.")
        )
        return see_other(request, back)
    return _served(body, file_name(quote))


def _body(quote: Quote) -> bytes:
    if quote.state == Quote.State.ANSWERED:
        return bytes(answer_paper(quote.decision).body)
    return pdf_of_offer(quote, timezone.now(), lambda: terms.terms(quote, content(quote)))


def _which(job: Job, n: str) -> Quote:
    """The quote of that number; without a number the last one, or where that came to nothing the last that was answered."""
    answered = job.quotes.filter(state=Quote.State.ANSWERED).order_by("-n")
    last = offer.last_sent(job)
    if n:
        quote = job.quotes.filter(n=_number(n)).exclude(state=Quote.State.DRAFT).first()
    else:
        quote = last if last and offer.state_of(last) in ("open", "answered") else answered.first()
    if quote is None or offer.state_of(quote) not in ("open", "answered"):
        raise Http404
    quote.job = job
    return quote


def _served(body: bytes, name: str) -> HttpResponseBase:
    response = FileResponse(BytesIO(body), filename=name, content_type="application/pdf")
    response["Content-Length"] = str(len(body))
    response["Cache-Control"] = "private, no-store"
    return response


def _number(text: str) -> int:
    return int(text) if text.isdecimal() and len(text) < 4 else 0
