"""On its way, or back as it is."""

from dataclasses import replace

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from jobs.actions.arriving import say_posted
from jobs.actions.leaving import cost_of_leaving, withdraw
from jobs.actions.refusals import Refused
from jobs.models import Job
from jobs.words import Holder
from portal.access import for_customer
from portal.answers import see_other
from portal.customer import quote_shown
from portal.customer.forms import LeavingForm, PostedForm
from portal.customer.mine import is_theirs, show


@require_POST
@for_customer
def my_posted(request: HttpRequest, job: Job) -> HttpResponse:
    """The customer says that it is on its way. Said twice, or too late, it changes nothing."""
    form = PostedForm(request.POST)
    if not form.is_valid():
        return show(request, job, form, status=422)
    try:
        say_posted(job, request.actor, form.cleaned_data["sent_with"])
        messages.success(request, _("Thank you. We write as soon as it is here."))
    except Refused:
        messages.info(request, _("It is here already."))
    return see_other(request, reverse("my", args=[job.shown_ref]))


@require_http_methods(["GET", "HEAD", "POST"])
@for_customer
def my_leave(request: HttpRequest, job: Job) -> HttpResponse:
    """What it costs and means to send it back as it is, before the name that confirms it."""
    if request.method != "POST":
        return _page(request, job, LeavingForm())
    form = LeavingForm(request.POST)
    if not form.is_valid():
        return _page(request, job, form, status=422)
    told = form.cleaned_data
    try:
        # The journal keeps the name as it was typed: it stands for the signature.
        by = replace(request.actor, name=told["name"])
        withdraw(job, by, because=told["because"], seen=_seen(request.POST.get("cost", "")))
    except Refused as refused:
        if job.stage == "withdrawn":
            return see_other(request, reverse("my", args=[job.shown_ref]))
        form.add_error(None, refused.sentence)
        return _page(request, job, form, status=422)
    messages.success(request, _said(job))
    return see_other(request, reverse("my", args=[job.shown_ref]))


def _seen(cost: str) -> int | None:
    """What the page that they confirmed said it costs; None where it did not say."""
    return int(cost) if cost.isascii() and cost.isdecimal() and len(cost) < 12 else None


def _said(job: Job) -> str:
    """What comes next, which depends on where the item is and how it goes home."""
    if job.holder == Holder.NOBODY:
        return _("It is done as you asked. You need not send anything.")
    if job.waits_for_money:
        return _("It is done as you asked. Once it is paid, we send it; your page and the letter say how.")
    if job.holder == Holder.CUSTOMER:
        return _("It is done as you asked. You can collect it; the letter says where and when.")
    return _("It is done as you asked. We write when it leaves.")


def _page(request: HttpRequest, job: Job, form: LeavingForm, status: int = 200) -> HttpResponse:
    cost = cost_of_leaving(job) if job.may_be_called_off else None
    open_quote = job.quotes.open().first()
    shown = {
        "job": job,
        "theirs": is_theirs(request),
        "form": form,
        "cost": cost,
        "tax_added": bool(cost) and cost.sums.net == cost.examination + cost.carriage,
        "is_here": job.stage != "expected",
        "declined": quote_shown.if_declined(open_quote) if open_quote else "",
    }
    return render(request, "customer/leave.html", shown, status=status)
