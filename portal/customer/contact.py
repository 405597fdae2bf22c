"""How we reach the customer, and who else can open their page."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from jobs.actions.contact import change_contact, want_progress
from jobs.actions.linking import ask_for_link, revoke_links
from jobs.models import Job, Opening
from portal import limits
from portal.access import for_customer
from portal.answers import see_other
from portal.customer.forms import ContactForm
from portal.customer.mine import is_theirs


@require_http_methods(["GET", "HEAD", "POST"])
@for_customer
def my_settings(request: HttpRequest, job: Job) -> HttpResponse:
    """One page, three small forms: contact (`do` is empty), a new link (`do=link`), close every other link (`do=close`)."""
    if request.method != "POST":
        return _page(request, job, ContactForm(initial=_known(job)))
    do = request.POST.get("do")
    if do == "link":
        return _new_link(request, job)
    if do == "close":
        return _close_others(request, job)
    return _change(request, job)


def _change(request: HttpRequest, job: Job) -> HttpResponse:
    form = ContactForm(request.POST)
    if not form.is_valid():
        return _page(request, job, form, status=422)
    told = form.cleaned_data
    change_contact(job.customer, telephone=told["telephone"], address=told["address"])
    want_progress(job.customer, told["wants_progress"])
    return _said(request, job, _("That is kept."))


def _new_link(request: HttpRequest, job: Job) -> HttpResponse:
    if not limits.take(f"link:{job.pk}", 3, 3600):
        return _said(
            request, job, _("We have sent you three links in this hour. Please look for them in your post.")
        )
    ask_for_link(job, request.actor)  # type: ignore[attr-defined]
    return _said(request, job, _("A letter with a new link is on its way to you."))


def _close_others(request: HttpRequest, job: Job) -> HttpResponse:
    revoke_links(job, keep=request.link)  # type: ignore[attr-defined]
    return _said(request, job, _("Every other link is closed. This device stays in."))


def _said(request: HttpRequest, job: Job, sentence: str) -> HttpResponse:
    messages.success(request, sentence)
    return see_other(request, reverse("my_settings", args=[job.shown_ref]))


def _known(job: Job) -> dict[str, Any]:
    person = job.customer
    return {"telephone": person.telephone, "address": person.address, "wants_progress": person.wants_progress}


def _page(request: HttpRequest, job: Job, form: ContactForm, status: int = 200) -> HttpResponse:
    openings = Opening.objects.filter(link__job=job).order_by("-last_at")
    shown = {
        "job": job,
        "theirs": is_theirs(request),
        "form": form,
        "openings": openings,
        "devices": len({opening.device for opening in openings}),
        "until": request.link.expires_at if request.link else None,  # type: ignore[attr-defined]
    }
    return render(request, "customer/settings.html", shown, status=status)
