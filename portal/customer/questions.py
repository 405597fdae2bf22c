"""Questions to the bench, and the answers."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from jobs.actions.asking import Subject, ask
from jobs.actions.refusals import Refused
from jobs.models import Finding, Job, Line
from portal import limits
from portal.access import for_customer
from portal.answers import refuse, see_other
from portal.customer.answer_us import AnswerUsForm, waiting
from portal.customer.forms import QuestionForm
from portal.customer.mine import is_theirs

MOST_AN_HOUR = 20  # questions about one job


@require_http_methods(["GET", "HEAD", "POST"])
@for_customer
def my_questions(request: HttpRequest, job: Job) -> HttpResponse:
    """Read and ask. `about` is "finding-12" or "line-12"; a question from a line of the quote comes by htmx and stays there."""
    about = (request.POST if request.method == "POST" else request.GET).get("about", "")
    subject = subject_of(job, about)
    if request.method != "POST":
        return _page(request, job, QuestionForm(initial={"about": about}), subject)
    form = QuestionForm(request.POST)
    if form.is_valid() and _sent(request, job, form, subject):
        if request.htmx and isinstance(subject, Line):
            question = job.questions.get(once=form.cleaned_data["once"])
            return render(request, "customer/quote/asked.html", {"line": subject, "question": question})
        messages.success(request, _("Your question is at the bench. The answer comes here and by letter."))
        return see_other(request, reverse("my_questions", args=[job.shown_ref]))
    if request.htmx and isinstance(subject, Line):
        return _at_the_line(request, form, subject)
    return _page(request, job, form, subject, status=422)


def questions_page(
    request: HttpRequest, job: Job, answering: tuple[int, AnswerUsForm], status: int
) -> HttpResponse:
    """The page again, with an answer of theirs that came back with something to mend."""
    return _page(request, job, QuestionForm(), None, status, answering)


def subject_of(job: Job, about: str) -> Subject:
    """The finding or line of this job that `about` names; None without one. Raises Http404 for another job's."""
    kind, _dash, number = about.partition("-")
    if not about or not number.isdecimal() or len(number) > 12:
        return None
    found: Subject = None
    if kind == "finding":
        found = job.findings.posted().filter(pk=number).first()
    elif kind == "line":
        found = Line.objects.exclude(quote__state="draft").filter(quote__job=job, pk=number).first()
    if found is None:
        raise Http404
    return found


def _sent(request: HttpRequest, job: Job, form: QuestionForm, subject: Subject) -> bool:
    if not limits.take(f"ask:{job.pk}", MOST_AN_HOUR, 3600):
        form.add_error(
            "text", _("That was a lot of questions in one hour. Wait a while, then send this one.")
        )
        return False
    try:
        ask(job, form.cleaned_data["text"], request.actor, str(form.cleaned_data["once"]), subject)
    except Refused as refused:
        refuse(form, refused)
        return False
    return True


def _at_the_line(request: HttpRequest, form: QuestionForm, line: Line) -> HttpResponse:
    shown = {
        "line": line,
        "text_wrong": " ".join(form.errors.get("text", [])),
        "typed": request.POST.get("text", ""),
    }
    return render(request, "customer/quote/ask.html", shown, status=422)


def _page(
    request: HttpRequest,
    job: Job,
    form: QuestionForm,
    subject: Subject,
    status: int = 200,
    answering: tuple[int, AnswerUsForm] | None = None,
) -> HttpResponse:
    waits = waiting(job, answering)
    closed = answering and answering[0] not in {enquiry.pk for enquiry, _form in waits}
    shown = {
        "job": job,
        "theirs": is_theirs(request),
        "form": form,
        "subject": subject,
        "is_finding": isinstance(subject, Finding),
        "waiting": waits,
        "closed": answering[1] if answering and closed else None,  # answered on another device meanwhile
        "answered_us": job.enquiries.filter(answered_at__isnull=False)
        .select_related("finding")
        .order_by("-answered_at", "-pk"),
        "questions": job.questions.select_related("finding", "line").order_by("-asked_at", "-pk"),
    }
    return render(request, "customer/questions.html", shown, status=status)
