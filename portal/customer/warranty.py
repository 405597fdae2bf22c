"""The warranty: what is covered and until when, what is not and why, whether something is covered, and a claim on it."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from jobs.actions.refusals import Refused
from jobs.actions.reminding import want_reminder
from jobs.actions.warranting import open_claim, will_have_warranty
from jobs.history import aftercare_of
from jobs.models import Cover, Job, Warranty
from jobs.promises import promises_of
from jobs.words import Stage
from portal import limits
from portal.access import for_customer
from portal.answers import refuse, see_other
from portal.customer import covered
from portal.customer.forms import ClaimForm
from portal.customer.mine import is_theirs
from portal.customer.opening import open_here
from portal.customer.warranty_page import shown

MOST_ASKED = 60  # an hour, about one job


@require_safe
@for_customer
def my_warranty(request: HttpRequest, job: Job) -> HttpResponse:
    return _page(request, job)


@require_POST
@for_customer
def my_covered(request: HttpRequest, job: Job) -> HttpResponse:
    """What looks to be covered. Changes nothing: the answer for htmx, the whole page with it without."""
    warranty = Warranty.objects.filter(job=job).first()
    if warranty is None:
        return _page(request, job, status=422)
    promises = promises_of(warranty)
    form = covered.CoveredForm(covered.offer(promises, job), request.POST)
    if form.is_valid() and not limits.take(f"covered:{job.pk}", MOST_ASKED, 3600):
        form.add_error(None, _("That was a lot of questions in one hour. Wait a while, or ask us."))
    answered = covered.answer(form, promises, job) if form.is_valid() else None
    return _page(request, job, ask=form, answered=answered, status=200 if answered else 422)


@require_POST
@for_customer
def my_claim(request: HttpRequest, job: Job) -> HttpResponse:
    """Call on the warranty: a job of its own, linked to this one, which this browser may open at once."""
    form = ClaimForm(request.POST)
    if not form.is_valid():
        return _page(request, job, form, status=422)
    if not limits.take(f"claim:{job.pk}", 5, 3600):
        form.add_error(None, _("That was a lot of claims in one hour. Wait a while, or ask us."))
        return _page(request, job, form, status=429)
    try:
        cover = _cover(job, request.POST.get("cover", ""))
        claim = open_claim(job, form.cleaned_data["story"], request.actor, cover)
    except Refused as refused:
        return _refused(request, job, form, refused)
    open_here(request, claim)
    messages.success(request, _("Your claim is open. We have sent you a letter with its own private link."))
    return see_other(request, reverse("my", args=[claim.shown_ref]))


@require_POST
@for_customer
def my_reminder(request: HttpRequest, job: Job) -> HttpResponse:
    """A letter a month before the end: wanted, or not any more."""
    warranty, wants = Warranty.objects.filter(job=job).first(), "wants" in request.POST
    if warranty:
        want_reminder(warranty, wants)
        kept = (
            _("Kept. We write to you a month before it ends.")
            if wants
            else _("Kept. We write no such letter.")
        )
        messages.success(request, kept)
    return see_other(request, reverse("my_warranty", args=[job.shown_ref]))


def _cover(job: Job, number: str) -> Cover | None:
    """What the page said it rests on, if it said something. Raises Refused for what is no part of this warranty."""
    if not number:
        return None
    is_number = number.isascii() and number.isdecimal() and len(number) <= 12
    found = Cover.objects.filter(pk=number, warranty__job=job).first() if is_number else None
    if found is None:
        raise Refused(_("That is no part of this warranty. Tell us in your own words."), "cover")
    return found


def _refused(request: HttpRequest, job: Job, form: ClaimForm, refused: Refused) -> HttpResponse:
    """A form sent twice finds its own claim open already, and goes there."""
    same = job.claims.filter(story=form.cleaned_data["story"].strip()).order_by("-pk").first()
    if same and not same.is_over:
        open_here(request, same)
        return see_other(request, reverse("my", args=[same.shown_ref]))
    refuse(form, refused)
    return _page(request, job, form, status=422)


def _page(
    request: HttpRequest,
    job: Job,
    form: ClaimForm | None = None,
    ask: covered.CoveredForm | None = None,
    answered: covered.Answered | None = None,
    status: int = 200,
) -> HttpResponse:
    warranty = Warranty.objects.filter(job=job).first()
    told: dict[str, Any] = {"job": job, "theirs": is_theirs(request), "warranty": warranty}
    told |= {"form": form or ClaimForm(), "aftercare": aftercare_of(job), "answered": answered}
    told["none_comes"] = job.stage == Stage.RETURNED and not warranty and not will_have_warranty(job)
    if warranty:
        told |= shown(request, warranty, timezone.localdate())
        told["ask"] = ask or covered.CoveredForm(covered.offer(told["promises"], job))
    part = "#covered" if ask and request.htmx else ""
    response = render(request, f"customer/warranty.html{part}", told, status=status)
    response["Vary"] = "HX-Request"
    return response
