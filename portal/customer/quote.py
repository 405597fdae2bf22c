"""The quote: read, added up, answered once."""

import hashlib
from typing import Any, assert_never

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import override
from django.views.decorators.http import require_http_methods, require_POST

from jobs.actions import deciding
from jobs.actions.refusals import Refused
from jobs.evidence import content
from jobs.models import Decision, Job, Quote
from portal import device, languages
from portal.access import for_customer
from portal.answers import refuse, see_other
from portal.customer import code, offer, quote_shown, terms
from portal.customer.mine import is_theirs
from portal.customer.quote_form import QuoteForm
from portal.limits import client_address


@require_http_methods(["GET", "HEAD", "POST"])
@for_customer
def my_quote(request: HttpRequest, job: Job) -> HttpResponse:
    """The last quote that was sent, as it stands. POST answers the quote that the form names, if it is still the one.

    What they agree to is kept in the words that they read, though another tab of theirs has chosen another language since.
    """
    if request.method != "POST":
        return _page(request, job, offer.last_sent(job))
    this = device.of(request) or device.new()
    read_in = request.POST.get("read_in", "")
    with override(read_in if languages.is_offered(read_in) else languages.of_customer(job.customer)):
        response = _answer(request, job, this)
    return response if device.of(request) else device.keep(response, this)


@require_POST
@for_customer
def my_total(request: HttpRequest, job: Job) -> HttpResponse:
    """What the answer so far comes to. Changes nothing: the sum for htmx, the whole page with the sum worked out without it."""
    quote = _named(request, job) or offer.last_sent(job)
    if quote is None or offer.state_of(quote) != "open":
        if said := _overtaken(job, quote):
            messages.info(request, said)
        return see_other(request, reverse("my_quote", args=[job.shown_ref]))
    form = QuoteForm(quote, content(quote), request.POST)
    if not request.htmx:
        return _page(request, job, quote, _as_chosen(form))
    shown = {"reckoning": quote_shown.of_form(form), "quote": quote}
    return render(request, "customer/quote.html#sums", shown)


def _answer(request: HttpRequest, job: Job, this: str) -> HttpResponse:
    """`this`: the number of the device that answers."""
    quote = _named(request, job)
    if quote is None:
        return _outcome(request, job, deciding.Replaced(None))
    if offer.state_of(quote) != "open":
        return _outcome(request, job, _closed(quote), quote)
    form = QuoteForm(quote, content(quote), request.POST)
    if not quote.is_supplementary and form.declines_all():
        return see_other(request, reverse("my_leave", args=[job.shown_ref]))
    if not form.is_valid():
        form.asks_code = "code" in request.POST
        return _page(request, job, quote, form, status=422)
    if quote.shown_hash != form.cleaned_data["shown_hash"]:
        return _outcome(
            request, job, deciding.Replaced(quote), quote
        )  # no letter with figures for what was not shown
    try:
        outcome = _decide(request, job, quote, form, this)
    except Refused as refused:
        refuse(form, refused)
        return _page(request, job, quote, form, status=422)
    if not isinstance(outcome, code.Held):
        return _outcome(request, job, outcome, quote)
    fresh = _named(request, job) or quote
    if offer.state_of(fresh) != "open":  # of a double tap the first has used the figures up, and agreed
        return _outcome(request, job, _closed(fresh), fresh)
    return _page(request, job, quote, form, status=outcome.status)


@transaction.atomic
def _decide(
    request: HttpRequest, job: Job, quote: Quote, form: QuoteForm, this: str
) -> deciding.Outcome | code.Held:
    """Figures and answer together: a second tap waits for the first, and what is refused uses no figures up."""
    passed = code.check(request, job, quote, form, this)
    if isinstance(passed, code.Held):
        return passed
    answer = _given(job, quote, form, passed.used)
    return deciding.decide(quote, answer, request.actor, _origin(request))


def _named(request: HttpRequest, job: Job) -> Quote | None:
    """The quote of this job that the form was about, if it was ever sent."""
    number = request.POST.get("quote", "")
    if not (number.isascii() and number.isdecimal() and len(number) < 12):
        return None
    sent = job.quotes.exclude(state=Quote.State.DRAFT).select_related("decision", "replaces", "adds_to")
    return sent.filter(pk=int(number)).first()


def _given(job: Job, quote: Quote, form: QuoteForm, code_used: bool) -> deciding.Answer:
    """The answer with all that is kept of it: what was agreed to word for word, the button, the page as it stood."""
    told = form.cleaned_data
    return deciding.Answer(
        told["shown_hash"],
        form.yes(),
        told["name"],
        terms.refusal() if form.declines else terms.kept(quote, form.told),
        ceiling=None if form.declines else told.get("ceiling"),
        button=terms.refuse_button() if form.declines else terms.button(),
        page=quote_shown.page_as_seen(job, quote, form),
        code_used=code_used,
    )


def _closed(quote: Quote) -> deciding.Outcome:
    """Why a quote takes no answer, so that nobody fills in a form for nothing. An open one is judged by `decide`, in the lock."""
    if quote.state == Quote.State.ANSWERED:
        return deciding.AnsweredBefore(quote.decision)
    if quote.state == Quote.State.REPLACED:
        return deciding.Replaced(None)
    return deciding.Lapsed(quote)


def _origin(request: HttpRequest) -> deciding.Origin:
    """From where it came; of the session only a digest of its key."""
    key = request.session.session_key or ""
    return deciding.Origin(
        client_address(request),
        request.headers.get("User-Agent", ""),
        request.link,
        hashlib.sha256(key.encode()).hexdigest() if key else "",
    )


def _outcome(
    request: HttpRequest, job: Job, outcome: deciding.Outcome, seen: Quote | None = None
) -> HttpResponse:
    """`seen`: the quote that was open in their browser."""
    match outcome:
        case deciding.Decided(decision):
            messages.success(request, _thanks(job, decision))
            return see_other(request, reverse("my", args=[job.shown_ref]))
        case deciding.AnsweredBefore():
            messages.info(request, _answered_before())
            return see_other(request, reverse("my_quote", args=[job.shown_ref]))
        case deciding.Replaced():
            now = offer.last_sent(job)
            return _page(request, job, now, said=_replaced(now), seen=seen, status=409)
        case deciding.Lapsed(quote):
            return _page(request, job, quote, status=409)
        case _:
            assert_never(outcome)


def _overtaken(job: Job, quote: Quote | None) -> str:
    """Why a sum is worked out no more, where the page that comes instead does not say so itself."""
    match quote and _closed(quote):
        case deciding.AnsweredBefore():
            return _answered_before()
        case deciding.Replaced():
            return _replaced(offer.last_sent(job))
    return ""


def _answered_before() -> str:
    return _("This quote has its answer already. It stands as it was given.")


def _thanks(job: Job, decision: Decision) -> str:
    called = {"called": job.customer.called}
    if decision.quote.is_supplementary and not decision.agreed_anything:
        return _("Thank you, %(called)s. We leave it; what you agreed before goes on.") % called
    return _("Thank you, %(called)s. Your answer is kept, and a copy goes to you by letter.") % called


def _replaced(now: Quote | None) -> str:
    if now is None or offer.state_of(now) != "open":
        return _("While you were reading, we took the quote back. Nothing was agreed by it.")
    return _(
        "While you were reading, we changed the quote. Nothing was agreed. This is how it stands now; please look once more."
    )


def _as_chosen(form: QuoteForm) -> QuoteForm:
    """The same form with everything as it was chosen and typed, and nothing found fault with yet."""
    fresh = QuoteForm(form.row, form.told)
    fresh.asks_code = "code" in form.data
    for name in fresh.fields:
        fresh.initial[name] = form.data.get(name, "")
    return fresh


def _page(
    request: HttpRequest,
    job: Job,
    quote: Quote | None,
    form: QuoteForm | None = None,
    said: str = "",
    seen: Quote | None = None,
    status: int = 200,
) -> HttpResponse:
    theirs = is_theirs(request)
    shown: dict[str, Any] = {"job": job, "theirs": theirs, "said": said, "state": "none"}
    if quote is not None:
        shown |= quote_shown.shown(job, quote, form, theirs, seen)
    return render(request, "customer/quote.html", shown, status=status)
