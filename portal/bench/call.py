"""An answer to the quote by telephone, noted by us as exactly as one on the page."""

from typing import assert_never

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from jobs.actions.deciding import (
    AnsweredBefore,
    Decided,
    Lapsed,
    Outcome,
    Replaced,
    decide,
    is_ceiling_too_low,
    why_impossible,
)
from jobs.actions.refusals import Refused
from jobs.models import Job, Quote
from portal.access import for_staff
from portal.answers import status
from portal.bench.call_form import CallForm
from portal.bench.common import show, to_job, with_job
from portal.bench.drafted import Sums, sums


@require_http_methods(["GET", "POST"])
@for_staff
@with_job
def call(request: HttpRequest, job: Job) -> HttpResponse:
    """`do` is sums: only work out what has been said so far, to read it out."""
    quote = job.quotes.filter(state__in=[Quote.State.OPEN, Quote.State.LAPSED]).order_by("-n").first()
    if quote is None:
        return to_job(request, job, _("No quote waits for an answer."))
    first = {"shown_hash": quote.shown_hash, "name": job.customer.name}
    form = CallForm(quote, request.POST if request.method == "POST" else None, initial=first)
    only_sums = request.POST.get("do") == "sums"
    if form.is_bound and form.is_valid() and _is_possible(form) and not only_sums:
        outcome = _decide(request, quote, form)
        if outcome:
            return to_job(request, job, outcome)
    context = {"form": form, "quote": quote, "sums": _sums(form) if only_sums else None}
    context["tax_added"] = quote.tax_mode == "added"
    return show(request, "bench/call.html", job, status(form), **context)


def _is_possible(form: CallForm) -> bool:
    """Whether such an answer can be given; if not, the sentences stand beside the questions."""
    for line, said in why_impossible(form.sheet, form.yes):
        form.add_error(form.field_of(f"line-{line}"), said)
    if not form.errors and is_ceiling_too_low(form.reckoned(), form.cleaned_data.get("ceiling")):
        form.add_error("ceiling", _("That is less than it can come to at the least."))
    return not form.errors


def _sums(form: CallForm) -> Sums | None:
    return None if form.errors else sums(form.quote, form.reckoned())


def _decide(request: HttpRequest, quote: Quote, form: CallForm) -> str:
    """What to say at the top of the next page; "" when the form has to say why not."""
    by = request.actor
    try:
        outcome = decide(quote, form.answer(by.name), by)
    except Refused as refused:
        form.add_error(form.field_of(refused.field or ""), refused.sentence)
        return ""
    if isinstance(outcome, Decided | AnsweredBefore):
        return _("Noted.") if isinstance(outcome, Decided) else _("This quote has been answered already.")
    form.add_error(None, _why_not(outcome))
    return ""


def _why_not(outcome: Outcome) -> str:
    match outcome:
        case Replaced():
            return _("Another quote stands now. Read that one out.")
        case Lapsed():
            return _("This quote has lapsed. Send it again first, then note the answer.")
        case Decided() | AnsweredBefore():
            raise AssertionError(outcome)
        case _:
            assert_never(outcome)
