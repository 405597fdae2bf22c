"""The customer's page, and its news."""

import json
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.cache import get_conditional_response
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe
from django_htmx.http import trigger_client_event

from jobs.actions.linking import note_reading
from jobs.models import Job, Workshop
from portal.access import for_customer
from portal.customer import page, told
from portal.customer.forms import PostedForm, QuestionForm


@require_safe
@for_customer
def my(request: HttpRequest, job: Job) -> HttpResponse:
    if is_theirs(request) and request.method == "GET":
        note_reading(job)
    return show(request, job)


@require_safe
@for_customer
def my_news(request: HttpRequest, job: Job) -> HttpResponse:
    """The live part of the page, if it is not what the browser has (If-None-Match); else 304, at the price of two queries.

    `since` and `photos`: the last entry and the photographs that the page had, to say what is new. Without htmx: the whole page.
    """
    unchanged = get_conditional_response(request, etag=etag_of(request, job))
    if unchanged is not None:
        return unchanged
    if not request.htmx:
        return redirect("my", job.shown_ref)
    shown = _shown(request, job)
    response = render(request, "customer/my.html#live", shown)
    response["ETag"] = etag_of(request, job)
    response["Vary"] = "HX-Request"
    if news := _news(request, shown["page"]):
        trigger_client_event(response, "say", {"value": _("Something new: %(what)s") % {"what": news}})
    return response


def _news(request: HttpRequest, shown: page.Page) -> str:
    """What to read out: the newest line since `since`, else a photograph more than `photos`; "" for what the customer cannot see."""
    if line := told.news_since(shown.told.entries, _number(request.GET.get("since", ""))):
        return line
    return _("a photograph.") if shown.photos_shown > _number(request.GET.get("photos", "")) else ""


def show(request: HttpRequest, job: Job, posted: PostedForm | None = None, status: int = 200) -> HttpResponse:
    """The whole page; with the form that says it is posted as it came back, if it did."""
    forms = {"form": QuestionForm(), "posted": posted or PostedForm()}
    return render(request, "customer/my.html", _shown(request, job) | forms, status=status)


def etag_of(request: HttpRequest, job: Job) -> str:
    """Changes with the journal, with each photograph that is ready, and at midnight, because the page counts days."""
    link = request.link
    ready = link.photos_ready if link else job.photos.for_the_customer().count()
    return f'"{job.last_seq}-{ready}-{timezone.localdate().toordinal()}"'


def is_theirs(request: HttpRequest) -> bool:
    """Whether the customer is here, and not staff reading their page."""
    return request.link is not None


def _shown(request: HttpRequest, job: Job) -> dict[str, Any]:
    house = Workshop.objects.current()
    return {
        "page": page.read(job, may_act=is_theirs(request), house=house),
        "workshop": house,  # in place of the one that the template would look up
        "job": job,
        "theirs": is_theirs(request),
        "if_none_match": json.dumps({"If-None-Match": etag_of(request, job)}),
    }


def _number(text: str) -> int:
    return int(text) if text.isdecimal() and len(text) < 10 else 0
