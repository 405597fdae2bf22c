"""Notices on a customer's devices: the page's forms, and the worker that shows them."""

from pathlib import Path

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from jobs.actions.refusals import Refused
from jobs.models import Job
from notifications import devices
from portal import limits, this_browser
from portal.access import for_customer, for_everyone
from portal.answers import see_other
from portal.customer import contact

WORKER = Path(__file__).parent / "push_worker.js"


class DeviceForm(forms.Form):
    """What a browser says of itself (Push API, PushSubscription.toJSON). `do`: "on", "off", or "none" for all devices."""

    do = forms.ChoiceField(choices=[("on", "on"), ("off", "off"), ("none", "none")])
    endpoint = forms.CharField(max_length=700, required=False)
    p256dh = forms.CharField(max_length=100, required=False)
    auth = forms.CharField(max_length=40, required=False)


@require_POST
@for_customer
def my_notices(request: HttpRequest, job: Job) -> HttpResponse:
    form = DeviceForm(request.POST)
    if not form.is_valid():
        return contact.show(
            request, job, wrong=_("Your browser did not give us what we need to send notices. Try again.")
        )
    if not limits.take(f"notices:{job.customer_id}", 30, 3600):
        return render(request, "door/too_often.html", status=429)
    try:
        said = _act(request, job, **form.cleaned_data)
    except Refused as refused:
        return contact.show(request, job, wrong=refused.sentence)
    messages.success(request, said)
    return see_other(request, reverse("my_settings", args=[job.shown_ref]))


@require_safe
@for_everyone
def push_worker(request: HttpRequest) -> HttpResponse:
    """The service worker. It stands at the top, so that its scope may be /my/; browsers look for a newer one by themselves."""
    response = HttpResponse(WORKER.read_bytes(), content_type="text/javascript; charset=utf-8")
    response["Cache-Control"] = "no-cache"
    return response


def _act(request: HttpRequest, job: Job, do: str, endpoint: str, p256dh: str, auth: str) -> str:
    """Do what the form asks. Returns what to say. Raises Refused."""
    if do == "none":
        devices.let_all_go(job.customer)
        return _("No device gets notices any more.")
    if do == "off":
        devices.let_go(job.customer, endpoint)
        return _("This device gets no more notices.")
    taken = devices.take_up(job.customer, endpoint, p256dh, auth)
    this_browser.remember(request, taken.pk)
    return _("This device gets notices from now on.")
