"""One job as the office sees it: how to reach its customer, what was sent, what was said."""

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext
from django.views.decorators.http import require_POST, require_safe

from jobs.accounts import account
from jobs.actions.moving import has_been_released
from jobs.actions.paying import release
from jobs.actions.refusals import Refused
from jobs.models import Decision, Job, Kind, Opening, Released
from jobs.words import Stage, Way
from notifications import returned, ways
from notifications.chasing import note_call
from notifications.correcting import correct_address
from notifications.letters import resend
from notifications.models import Letter, Owing
from portal.access import for_owner
from portal.accounts import shown
from portal.answers import carried_out, go, see_other
from portal.bench.payments import noted
from portal.office.forms import Plain
from portal.office.rows import rows
from portal.office.stayed import note_stayed
from portal.office.views import find_job, the_house
from portal.storage import storage_of_job

STAFFS_OWN = [Kind.NUDGED, Kind.CALLED, Kind.LINK_ASKED, Kind.PAUSED, Kind.RESUMED, Kind.CAME_BACK]


class CallForm(Plain):
    missing = {"text": gettext_lazy("Write down in a few words what was said.")}
    text = forms.CharField(
        label=gettext_lazy("What was said"), max_length=1000, widget=forms.Textarea(attrs={"rows": 2})
    )


class AddressForm(Plain):
    missing = {"email": gettext_lazy("Which address shall letters go to?")}
    email = forms.EmailField(label=gettext_lazy("E-mail address for letters"), max_length=254)


class ReleaseForm(Plain):
    missing = {"because": gettext_lazy("Say why, for whoever asks later.")}
    because = forms.CharField(label=gettext_lazy("Why it may go before it is paid"), max_length=300)


@require_safe
@for_owner
def office_job(request: HttpRequest, ref: str) -> HttpResponse:
    job = find_job(ref)
    return _page(request, job)


@require_POST
@for_owner
def office_call(request: HttpRequest, ref: str) -> HttpResponse:
    """Note a telephone call."""
    job, form = find_job(ref), CallForm(request.POST)
    by = request.actor
    if not carried_out(form, lambda: note_call(job, form.cleaned_data["text"], by)):
        return _page(request, job, call=form)
    return go(request, reverse("office_job", args=[job.shown_ref]), _("Noted."))


@require_POST
@for_owner
def office_address(request: HttpRequest, ref: str) -> HttpResponse:
    """Write to another address from now on. The links that went to the old one die."""
    job, form = find_job(ref), AddressForm(request.POST)
    if not form.is_valid():
        return _page(request, job, address=form)
    correct_address(job.customer, form.cleaned_data["email"], request.actor)
    messages.success(request, _("Letters go to the new address from now on. A new link is on its way there."))
    return see_other(request, reverse("office_job", args=[job.shown_ref]))


@require_POST
@for_owner
def office_again(request: HttpRequest, ref: str) -> HttpResponse:
    """Send what came back once more, to the address that we have now."""
    job = find_job(ref)
    gone, refusals = 0, []
    for letter in returned.to_send_again(job):
        try:
            resend(letter)
            gone += 1
        except Refused as refused:
            refusals.append(refused.sentence)
    for sentence in dict.fromkeys(refusals):
        messages.error(request, sentence)
    said = ngettext("%(n)s letter goes out again.", "%(n)s letters go out again.", gone) % {"n": gone}
    return go(request, reverse("office_job", args=[job.shown_ref]), said if gone or not refusals else "")


@require_POST
@for_owner
def office_release(request: HttpRequest, ref: str) -> HttpResponse:
    """Let it go home before all is paid, with a reason."""
    job, form = find_job(ref), ReleaseForm(request.POST)
    by = request.actor
    if not carried_out(form, lambda: release(job, form.cleaned_data["because"], by)):
        return _page(request, job, letting_go=form)
    return go(
        request, reverse("office_job", args=[job.shown_ref]), _("It may go home now. The sum stays due.")
    )


def _page(
    request: HttpRequest,
    job: Job,
    call: CallForm | None = None,
    address: AddressForm | None = None,
    letting_go: ReleaseForm | None = None,
) -> HttpResponse:
    stands = account(job)
    released = Released.objects.filter(job=job).first()
    may_leave = stands.is_settled or has_been_released(job, stands)
    letters = list(
        Letter.objects.filter(job=job)
        .select_related("person", "carried_by")
        .defer("text", "html")
        .order_by("-pk")[:30]
    )
    note_stayed(letters)
    kept_here = job.stage in (Stage.READY, Stage.WITHDRAWN) and not may_leave
    told = {
        "here": "office",
        "job": job,
        "row": rows([job], the_house())[0],
        "devices": Opening.objects.filter(link__job=job).values("device").distinct().count(),
        "letters": letters,
        "notes": job.entries.filter(kind__in=STAFFS_OWN).order_by("-seq")[:30],
        "owed": Owing.objects.filter(job=job).first(),
        "storage": storage_of_job(job),
        "came_back": returned.to_send_again(job),
        "email_is_dead": ways.is_dead(Way.EMAIL, job.customer.email),
        "account": stands,
        "shown": shown(stands),
        "payments": noted(job),
        "released": released,
        "letting_go": letting_go or (ReleaseForm() if kept_here else None),
        "answers": Decision.objects.filter(quote__job=job).select_related("quote").order_by("quote__n"),
        "call": call or CallForm(),
        "address": address or AddressForm(initial={"email": job.customer.email}),
    }
    return render(request, "office/job.html", told, status=422 if call or address or letting_go else 200)
