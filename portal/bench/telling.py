"""What is told in words: the answer to the story, answers to questions, and the two dates."""

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from jobs.actions.asking import answer
from jobs.actions.finding import answer_story
from jobs.actions.promising import promise
from jobs.models import Job
from portal.access import for_staff
from portal.answers import carried_out, status
from portal.bench.common import show, to_job, with_job
from portal.bench.fields import DayField


class StoryForm(forms.Form):
    answer = forms.CharField(
        label=gettext_lazy("The answer"),
        help_text=gettext_lazy(
            "Begin with No, Yes or We cannot know yet. Two sentences; they stand above the findings."
        ),
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": gettext_lazy("Write the answer first.")},
    )


@require_http_methods(["GET", "POST"])
@for_staff
@with_job
def story(request: HttpRequest, job: Job) -> HttpResponse:
    form = StoryForm(request.POST if request.method == "POST" else None, initial={"answer": job.story_answer})
    if form.is_bound and carried_out(
        form, lambda: answer_story(job, form.cleaned_data["answer"], request.actor)
    ):
        return to_job(request, job, _("%(called)s reads the answer now.") % {"called": job.customer.called})
    return show(request, "bench/story.html", job, status(form), form=form)


class AnswerForm(forms.Form):
    answer = forms.CharField(
        label=gettext_lazy("Your answer"),
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 4}),
        error_messages={"required": gettext_lazy("Write the answer first.")},
    )


@require_http_methods(["GET", "POST"])
@for_staff
@with_job
def answer_question(request: HttpRequest, job: Job, pk: int) -> HttpResponse:
    question = get_object_or_404(job.questions.select_related("finding", "line"), pk=pk)
    form = AnswerForm(request.POST if request.method == "POST" else None)
    if form.is_bound and carried_out(
        form, lambda: answer(question, form.cleaned_data["answer"], request.actor)
    ):
        return to_job(
            request, job, _("Answered. %(called)s gets a letter.") % {"called": job.customer.called}
        )
    return show(request, "bench/answer.html", job, status(form), form=form, question=question)


class PromiseForm(forms.Form):
    likely_by = DayField(label=gettext_lazy("Likely by"))
    surely_by = DayField(label=gettext_lazy("Almost surely by"))
    note = forms.CharField(
        label=gettext_lazy("What the dates depend on"),
        help_text=gettext_lazy("As the customer reads it: if you answer by Friday."),
        max_length=200,
        required=False,
    )


@require_http_methods(["GET", "POST"])
@for_staff
@with_job
def promise_dates(request: HttpRequest, job: Job) -> HttpResponse:
    stored = {"likely_by": job.likely_by, "surely_by": job.surely_by, "note": job.promise_note}
    form = PromiseForm(request.POST if request.method == "POST" else None, initial=stored)
    if form.is_bound and carried_out(form, lambda: promise(job, by=request.actor, **form.cleaned_data)):
        return to_job(
            request, job, _("Given. %(called)s sees them on the page.") % {"called": job.customer.called}
        )
    return show(request, "bench/promise.html", job, status(form), form=form)
