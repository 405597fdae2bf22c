"""The quote: read, added up, answered once."""

from typing import Any, assert_never

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from jobs.actions import deciding
from jobs.models import Decision, Job, Line, Quote
from portal.access import for_customer
from portal.answers import see_other
from portal.customer import offer, quote_page, terms
from portal.customer.forms import once_key
from portal.customer.mine import is_theirs
from portal.customer.quote_form import QuoteForm
from portal.limits import client_address


@require_http_methods(["GET", "HEAD", "POST"])
@for_customer
def my_quote(request: HttpRequest, job: Job) -> HttpResponse:
    """The last quote that was sent, as it stands. POST answers the quote that the form names, if it is still the one."""
    if request.method == "POST":
        return _answer(request, job)
    return _page(request, job, offer.last_sent(job))


@require_POST
@for_customer
def my_total(request: HttpRequest, job: Job) -> HttpResponse:
    """What the answer so far comes to. Changes nothing: the sum for htmx, the whole page with the sum worked out without it."""
    quote = offer.last_sent(job)
    if quote is None or offer.state_of(quote) != "open":
        return see_other(request, reverse("my_quote", args=[job.shown_ref]))
    lines = quote_page.lines_of(quote)
    form = QuoteForm(quote, lines, request.POST)
    if not request.htmx:  # type: ignore[attr-defined]
        return _page(request, job, quote, _as_chosen(form, quote, lines))
    shown = {"reckoning": quote_page.reckon(quote, lines, form.yes()), "quote": quote}
    return render(request, "customer/quote.html#sums", shown)


def _answer(request: HttpRequest, job: Job) -> HttpResponse:
    quote = (
        job.quotes.exclude(state=Quote.State.DRAFT).filter(pk=_number(request.POST.get("quote", ""))).first()
    )
    if quote is None:
        return _outcome(request, job, deciding.Replaced(None))
    if offer.state_of(quote) != "open":
        return _outcome(request, job, _closed(quote))
    form = QuoteForm(quote, quote_page.lines_of(quote), request.POST)
    if form.declines_all():
        return see_other(request, reverse("my_leave", args=[job.shown_ref]))
    if not form.is_valid():
        return _page(request, job, quote, form, status=422)
    told = form.cleaned_data
    answer = deciding.Answer(told["shown_hash"], form.yes(), told["name"], terms.kept())
    return _outcome(request, job, deciding.decide(quote, answer, request.actor, _origin(request)))  # type: ignore[attr-defined]


def _closed(quote: Quote) -> deciding.Outcome:
    """Why a quote takes no answer, so that nobody fills in a form for nothing. An open one is judged by `decide`, in the lock."""
    if quote.state == Quote.State.ANSWERED:
        return deciding.AnsweredBefore(quote.decision)
    if quote.state == Quote.State.REPLACED:
        return deciding.Replaced(None)
    return deciding.Lapsed(quote)


def _origin(request: HttpRequest) -> deciding.Origin:
    return deciding.Origin(client_address(request), request.headers.get("User-Agent", ""), request.link)  # type: ignore[attr-defined]


def _outcome(request: HttpRequest, job: Job, outcome: deciding.Outcome) -> HttpResponse:
    match outcome:
        case deciding.Decided(decision):
            messages.success(request, _thanks(job, decision))
            return see_other(request, reverse("my", args=[job.shown_ref]))
        case deciding.AnsweredBefore():
            messages.info(request, _("This quote has its answer already. It stands as it was given."))
            return see_other(request, reverse("my_quote", args=[job.shown_ref]))
        case deciding.Replaced():
            return _page(request, job, offer.last_sent(job), said=_replaced(), status=409)
        case deciding.Lapsed(quote):
            return _page(request, job, quote, status=409)
        case _:
            assert_never(outcome)


def _thanks(job: Job, decision: Decision) -> str:
    return _("Thank you, %(called)s. Your answer is kept, and a copy goes to you by letter.") % {
        "called": job.customer.called
    }


def _replaced() -> str:
    return _(
        "While you were reading, we changed the quote. Nothing was agreed. This is how it stands now; please look once more."
    )


def _as_chosen(form: QuoteForm, quote: Quote, lines: list[Line]) -> QuoteForm:
    """The same form with everything as it was chosen and typed, and nothing found fault with yet."""
    fresh = QuoteForm(quote, lines)
    for name in fresh.fields:
        fresh.initial[name] = form.data.get(name, "")
    return fresh


def _page(
    request: HttpRequest,
    job: Job,
    quote: Quote | None,
    form: QuoteForm | None = None,
    said: str = "",
    status: int = 200,
) -> HttpResponse:
    shown: dict[str, Any] = {"job": job, "theirs": is_theirs(request), "said": said, "state": "none"}
    if quote is not None:
        shown |= _shown(request, job, quote, form)
    return render(request, "customer/quote.html", shown, status=status)


def _shown(request: HttpRequest, job: Job, quote: Quote, form: QuoteForm | None) -> dict[str, Any]:
    state = offer.state_of(quote)
    lines = quote_page.lines_of(quote)
    if state == "open" and is_theirs(request):
        form = form or QuoteForm(quote, lines)
    decision = quote.decision if state == "answered" else None
    answers = quote_page.answers_to(quote) if decision else {}
    yes = form.yes() if form else [pk for pk, answer in answers.items() if answer]
    if not form and not decision:
        yes = [line.pk for line in lines if line.need == "needed"]
    return {
        "quote": quote,
        "state": state,
        "my_url": reverse("my", args=[job.shown_ref]),
        "form": form,
        "asked": quote_page.shown_lines(job, quote, lines, form, answers),
        "reckoning": quote_page.reckon(quote, lines, yes, choosing=form is not None),
        "decision": decision,
        "agreed": bool(decision and decision.agreed_anything),
        "sum_title": _("What it comes to") if not form else "",
        "sentence": terms.sentence(),
        "terms": terms.terms(),
        "once": once_key(),
        "renew_words": _("Please renew quote %(n)s; I would like to answer it.") % {"n": quote.n},
    }


def _number(text: str) -> int:
    return int(text) if text.isdecimal() and len(text) < 12 else 0
