"""Leaving out the letters that nobody has to act on: by a mail program in one step (RFC 8058), or by a person on a page."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import override
from django.views.decorators.http import require_http_methods

from jobs.actions.contact import want_progress, want_texts
from jobs.actions.reminding import want_none
from jobs.models import Customer
from notifications.preferences import customer_of
from portal import languages
from portal.access import for_machine
from portal.limits import network, take


@require_http_methods(["GET", "HEAD", "POST"])
@for_machine
def letters_off(request: HttpRequest, token: str) -> HttpResponse:
    """GET shows the page and changes nothing. POST needs no cookie: the signed token is the proof, and it opens nothing.

    RFC 8058 section 3.1: no redirect, no cookies, no further question. A person's form may also take the letters up again.
    """
    customer = customer_of(token)
    if customer is None:
        return render(request, "door/letters_unknown.html", status=404)
    with override(languages.of_customer(customer)):
        return _answer(request, customer, token)


def _answer(request: HttpRequest, customer: Customer, token: str) -> HttpResponse:
    if request.method == "POST":
        if not take(f"letters-off:{network(request)}", 60, 3600):
            return render(request, "door/too_often.html", status=429)
        wants = request.POST.get("wants") == "1"
        want_progress(customer, wants)
        if not wants:
            want_none(customer)
        # Only a person's form names the texts: a mail program's one step is about letters alone.
        if "asks_texts" in request.POST and customer.text_to:
            want_texts(customer, customer.text_to, request.POST.get("texts") == "1")
    told = {
        "wants": customer.wants_progress,
        "has_texts": bool(customer.text_to),
        "wants_texts": customer.wants_texts,
        "is_done": request.method == "POST",
        "token": token,
    }
    response = render(request, "door/letters_off.html", told)
    response.headers["Content-Language"] = languages.of_customer(customer)
    return response
