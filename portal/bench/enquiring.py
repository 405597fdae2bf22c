"""What we ask the customer: writing it, noting what they said by telephone, taking it back."""

from uuid import uuid4

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_POST

from jobs import stages
from jobs.actions.enquiring import answer_enquiry, drop_enquiry, enquire
from jobs.models import Job
from portal.access import for_staff
from portal.answers import carried_out, status
from portal.bench.common import pressed, show, to_job, with_job


def new_key() -> str:
    return str(uuid4())


class EnquiryForm(forms.Form):
    text = forms.CharField(
        label=gettext_lazy("What do you need to know?"),
        help_text=gettext_lazy(
            "One thing at a time, and why it matters. They answer on their page or by letter."
        ),
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 4}),
        error_messages={"required": gettext_lazy("Write the question first.")},
    )
    finding = forms.ModelChoiceField(
        label=gettext_lazy("Which finding is it about?"),
        queryset=None,
        required=False,
        empty_label=gettext_lazy("the job as a whole"),
    )
    work_waits = forms.BooleanField(
        label=gettext_lazy("The work waits for the answer. It is their move until then."), required=False
    )
    once = forms.UUIDField(widget=forms.HiddenInput, initial=new_key)

    def __init__(self, *args: object, job: Job, **options: object) -> None:
        super().__init__(*args, **options)
        self.fields["finding"].queryset = job.findings.posted()
        if not job.findings.posted().exists():
            del self.fields["finding"]
        if job.stage not in stages.MAY_WAIT_FOR_WORD:
            del self.fields["work_waits"]


@require_http_methods(["GET", "POST"])
@for_staff
@with_job
def ask_them(request: HttpRequest, job: Job) -> HttpResponse:
    form = EnquiryForm(request.POST if request.method == "POST" else None, job=job)
    by = request.actor
    if form.is_bound and carried_out(
        form,
        lambda: enquire(
            job,
            form.cleaned_data["text"],
            by,
            str(form.cleaned_data["once"]),
            form.cleaned_data.get("finding"),
            form.cleaned_data.get("work_waits", False),
        ),
    ):
        return to_job(request, job, _("Asked. %(called)s gets a letter.") % {"called": job.customer.called})
    return show(request, "bench/ask_them.html", job, status(form), form=form)


class ToldForm(forms.Form):
    answer = forms.CharField(
        label=gettext_lazy("What they said"),
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": gettext_lazy("Write what they said.")},
    )


@require_http_methods(["GET", "POST"])
@for_staff
@with_job
def they_said(request: HttpRequest, job: Job, pk: int) -> HttpResponse:
    """Note what they answered by telephone or at the counter."""
    enquiry = get_object_or_404(job.enquiries.select_related("finding"), pk=pk)
    form = ToldForm(request.POST if request.method == "POST" else None)
    by = request.actor
    if form.is_bound and carried_out(form, lambda: answer_enquiry(enquiry, form.cleaned_data["answer"], by)):
        return to_job(request, job, _("Noted."))
    return show(request, "bench/they_said.html", job, status(form), form=form, enquiry=enquiry)


@require_POST
@for_staff
@with_job
def ask_no_more(request: HttpRequest, job: Job, pk: int) -> HttpResponse:
    """Take a question back."""
    enquiry = get_object_or_404(job.enquiries, pk=pk)
    by = request.actor
    return pressed(request, job, lambda: drop_enquiry(enquiry, by), _("Taken back."))
