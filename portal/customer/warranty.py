"""The warranty: what is covered and until when, what is not and why, what keeps it well, and a claim on it."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST, require_safe

from jobs.actions.refusals import Refused
from jobs.actions.warranting import open_claim, will_have_warranty
from jobs.history import aftercare_of
from jobs.models import Cover, Job, Warranty
from jobs.words import Mechanism, Stage
from portal import limits
from portal.access import for_customer
from portal.answers import see_other
from portal.customer.forms import ClaimForm, refuse
from portal.customer.mine import is_theirs
from portal.customer.opening import open_here
from portal.drawing import cover


@require_safe
@for_customer
def my_warranty(request: HttpRequest, job: Job) -> HttpResponse:
    return _page(request, job, ClaimForm())


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
        claim = open_claim(job, form.cleaned_data["story"], request.actor)  # type: ignore[attr-defined]
    except Refused as refused:
        return _refused(request, job, form, refused)
    open_here(request, claim)
    messages.success(request, _("Your claim is open. We have sent you a letter with its own private link."))
    return see_other(request, reverse("my", args=[claim.shown_ref]))


def _refused(request: HttpRequest, job: Job, form: ClaimForm, refused: Refused) -> HttpResponse:
    """A form sent twice finds its own claim open already, and goes there."""
    same = job.claims.filter(story=form.cleaned_data["story"].strip()).order_by("-pk").first()
    if same and not same.is_over:
        open_here(request, same)
        return see_other(request, reverse("my", args=[same.shown_ref]))
    refuse(form, refused)
    return _page(request, job, form, status=422)


def _page(request: HttpRequest, job: Job, form: ClaimForm, status: int = 200) -> HttpResponse:
    warranty = Warranty.objects.filter(job=job).prefetch_related("covers").first()
    shown: dict[str, Any] = {"job": job, "theirs": is_theirs(request), "form": form, "warranty": warranty}
    shown["aftercare"] = aftercare_of(job)
    shown["none_comes"] = job.stage == Stage.RETURNED and not warranty and not will_have_warranty(job)
    if warranty:
        shown |= _covered(warranty) | {"claims": job.claims.order_by("pk")}
    return render(request, "customer/warranty.html", shown, status=status)


def _covered(warranty: Warranty) -> dict[str, Any]:
    today = timezone.localdate()
    covers = list(warranty.covers.all())
    running = [each for each in covers if each.days_left(today)]
    return {
        "cover": cover.draw([_promise(each, today) for each in covers], warranty.starts_on, today),
        "running": running,
        "last": max((each.until for each in running if each.until), default=None),
        "not_covered": [each for each in covers if each.until is None],
    }


def _promise(each: Cover, today: Any) -> cover.Promise:
    """Named by the mechanism where the line's own words do not say it."""
    mechanism = str(Mechanism(each.mechanism).label) if each.mechanism else ""
    left = each.days_left(today)
    note = ngettext("%(n)s day left", "%(n)s days left", left) % {"n": left} if left else ""
    what = f"{each.what} ({mechanism.lower()})" if mechanism else each.what
    return cover.Promise(what, each.until, note)
