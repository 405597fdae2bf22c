"""The work and the way home: begun, held up by a part, sent back, delivered; or ended without repair."""

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_POST

from jobs.accounts import account
from jobs.actions.leaving import cost_of_leaving, withdraw
from jobs.actions.moving import may_leave
from jobs.actions.working import await_part, deliver, nothing_to_mend, part_came, send_back, start_work
from jobs.models import Arrival, Job
from jobs.words import LeftAs, ReturnBy, Stage
from portal.access import for_staff
from portal.answers import carried_out, status
from portal.bench.common import if_told, pressed, show, to_job, with_job
from portal.bench.fields import DayField


@require_POST
@for_staff
@with_job
def work(request: HttpRequest, job: Job) -> HttpResponse:
    return pressed(request, job, lambda: start_work(job, request.actor), _("The work has begun."))


@require_POST
@for_staff
@with_job
def part_here(request: HttpRequest, job: Job) -> HttpResponse:
    return pressed(request, job, lambda: part_came(job, request.actor), _("The part is here."))


class PartForm(forms.Form):
    what = forms.CharField(
        label=gettext_lazy("Which part"),
        help_text=gettext_lazy("The customer reads this."),
        max_length=120,
        error_messages={"required": gettext_lazy("Say which part it is.")},
    )
    supplier = forms.CharField(label=gettext_lazy("From whom"), max_length=120, required=False)
    expected_on = DayField(label=gettext_lazy("Expected on"), required=False)


@require_http_methods(["GET", "POST"])
@for_staff
@with_job
def part(request: HttpRequest, job: Job) -> HttpResponse:
    form = PartForm(request.POST if request.method == "POST" else None)
    if form.is_bound and carried_out(form, lambda: await_part(job, by=request.actor, **form.cleaned_data)):
        return to_job(request, job, if_told(job, _("Noted. %(called)s gets a letter.")))
    return show(request, "bench/part.html", job, status(form), form=form)


class EmptyForm(forms.Form):
    """Nothing to fill in: the page asks once more before it is done."""


@require_http_methods(["GET", "POST"])
@for_staff
@with_job
def nothing(request: HttpRequest, job: Job) -> HttpResponse:
    form = EmptyForm(request.POST if request.method == "POST" else None)
    if form.is_bound and carried_out(form, lambda: nothing_to_mend(job, request.actor)):
        return to_job(request, job, _("Ready, without repair."))
    return show(request, "bench/nothing.html", job, status(form), form=form)


class SendBackForm(forms.Form):
    carrier = forms.CharField(label=gettext_lazy("Carrier"), max_length=60, required=False)
    tracking = forms.CharField(label=gettext_lazy("Tracking number"), max_length=60, required=False)
    left_as = forms.ChoiceField(
        label=gettext_lazy("How it is left"),
        help_text=gettext_lazy("The customer reads this."),
        choices=LeftAs.choices,
        widget=forms.RadioSelect,
        required=False,
    )
    left_note = forms.CharField(
        label=gettext_lazy("A word on that"),
        max_length=300,
        required=False,
        widget=forms.TextInput(attrs={"class": "reads"}),
    )

    def __init__(self, job: Job, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if job.stage != Stage.WITHDRAWN:
            del self.fields["left_as"], self.fields["left_note"]
        if job.return_by != ReturnBy.POST:
            del self.fields["carrier"], self.fields["tracking"]


@require_http_methods(["GET", "POST"])
@for_staff
@with_job
def sent_back(request: HttpRequest, job: Job) -> HttpResponse:
    """By post with carrier and number; or handed over, when it is collected. Not while something is to be paid: the page says what."""
    form = SendBackForm(job, request.POST if request.method == "POST" else None, initial=_as_said(job))
    if form.is_bound and carried_out(form, lambda: send_back(job, request.actor, **form.cleaned_data)):
        collected = job.return_by == ReturnBy.COLLECT
        return to_job(request, job, _("It is with its owner.") if collected else _("It is on its way home."))
    context = {
        "form": form,
        "loose_parts": Arrival.objects.filter(job=job).values_list("loose_parts", flat=True).first(),
        "stands": account(job),
        "is_held": not may_leave(job),
    }
    return show(request, "bench/send_back.html", job, status(form), **context)


def _as_said(job: Job) -> dict[str, str]:
    """How it goes back, as the last quote said that it would."""
    quote = job.quotes.exclude(if_declined="").order_by("-n").first()
    return {"left_as": quote.if_declined, "left_note": quote.if_declined_note} if quote else {}


class DeliveredForm(forms.Form):
    on = DayField(
        label=gettext_lazy("Delivered on"), help_text=gettext_lazy("The warranty begins on this day.")
    )


@require_http_methods(["GET", "POST"])
@for_staff
@with_job
def delivered(request: HttpRequest, job: Job) -> HttpResponse:
    form = DeliveredForm(
        request.POST if request.method == "POST" else None, initial={"on": timezone.localdate()}
    )
    if form.is_bound and carried_out(form, lambda: deliver(job, request.actor, form.cleaned_data["on"])):
        return to_job(request, job, _("It is home."))
    return show(request, "bench/delivered.html", job, status(form), form=form)


class WithdrawForm(forms.Form):
    because = forms.CharField(
        label=gettext_lazy("Why it ends"),
        help_text=gettext_lazy("The customer reads this, and is told what it costs."),
        max_length=400,
        required=False,
    )


@require_http_methods(["GET", "POST"])
@for_staff
@with_job
def withdrawn(request: HttpRequest, job: Job) -> HttpResponse:
    """End it without repair. The page says what that costs before it is done."""
    form = WithdrawForm(request.POST if request.method == "POST" else None)
    if form.is_bound and carried_out(
        form, lambda: withdraw(job, request.actor, form.cleaned_data["because"])
    ):
        return to_job(request, job, _("The job has ended without repair."))
    cost = cost_of_leaving(job) if job.may_be_withdrawn else None
    return show(request, "bench/withdraw.html", job, status(form), form=form, cost=cost)
