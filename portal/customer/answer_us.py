"""Their answer to a question of ours."""

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy
from django.views.decorators.http import require_POST

from jobs.actions.enquiring import answer_enquiry
from jobs.models import Enquiry, Job
from portal.access import for_customer
from portal.answers import carried_out, go


class AnswerUsForm(forms.Form):
    use_required_attribute = False

    answer = forms.CharField(
        label=_lazy("Your answer"),
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": _lazy("Write your answer first. “I do not know” is fine.")},
    )


def waiting(job: Job, bound: tuple[int, AnswerUsForm] | None = None) -> list[tuple[Enquiry, AnswerUsForm]]:
    """Our questions that wait, each with its form; `bound` is the one that came back with something to mend."""
    came_back = dict([bound] if bound else [])
    return [
        (enquiry, came_back.get(enquiry.pk) or AnswerUsForm(auto_id=f"id_%s_{enquiry.pk}"))
        for enquiry in job.enquiries.open().select_related("finding")
    ]


@require_POST
@for_customer
def my_answer(request: HttpRequest, job: Job, pk: int) -> HttpResponse:
    from portal.customer.questions import questions_page

    enquiry = get_object_or_404(job.enquiries, pk=pk)
    form = AnswerUsForm(request.POST, auto_id=f"id_%s_{pk}")
    by = request.actor
    if not carried_out(form, lambda: answer_enquiry(enquiry, form.cleaned_data["answer"], by)):
        return questions_page(request, job, answering=(pk, form), status=422)
    return go(request, reverse("my", args=[job.shown_ref]), _("Thank you. Your answer is at the bench."))
