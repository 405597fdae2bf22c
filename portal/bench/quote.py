"""Writing a quote: lines are added one by one, each with the findings that it answers; then sent. Or thrown away."""

from typing import Any

from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from jobs.actions.quote import (
    LineDraft,
    draft_quote,
    drop_draft,
    put_line,
    remove_line,
    renew,
    send_quote,
    take_back_quote,
)
from jobs.actions.refusals import Refused
from jobs.models import Job, Line, Workshop
from portal.access import for_staff
from portal.answers import carried_out, go, refuse, status
from portal.bench.common import pressed, show, to_job, with_job
from portal.bench.line_form import LineForm
from portal.bench.prefill import tries_of
from portal.bench.preview import preview
from portal.bench.quote_page import draft_of, is_stale, quote_page, send_form_for, usual_lines
from portal.bench.ways import without

ROWS = ("more", "try")  # presses that only ask for more rows, or fill them


@require_http_methods(["GET", "POST"])
@for_staff
@with_job
def quote(request: HttpRequest, job: Job) -> HttpResponse:
    """The quote being written. `do` says which: begin, line, more or try (rows), usual (post home, examination), preview, send."""
    house = Workshop.objects.current()
    if house is None:
        return to_job(request, job, _("Set up the workshop first."))
    if request.method == "GET":
        return quote_page(request, job, house)
    if is_stale(job, draft_of(job)):
        return quote_page(request, job, house, 422)  # which says why
    acts = {"begin": _begin, "usual": _usual, "preview": _preview, "send": _send, "more": _rows, "try": _rows}
    act = acts.get(request.POST.get("do", ""), _add_line)
    try:
        return act(request, job, house)
    except Refused as refused:
        return quote_page(request, job, house, 422, refused=refused.sentence)


@require_http_methods(["GET", "POST"])
@for_staff
@with_job
def quote_line(request: HttpRequest, job: Job, pk: int) -> HttpResponse:
    """Change one line of the draft, or take it out."""
    lines = Line.objects.asked().select_related("quote__job")
    line = get_object_or_404(lines, pk=pk, quote__job=job)
    house = Workshop.objects.get()
    refused = ""
    if request.POST.get("do") in ROWS:
        form, refused = _with_rows(request, job, house, line)
    else:
        form = LineForm(job, house, line.quote, request.POST if request.method == "POST" else None, line)
        if form.is_bound and carried_out(form, form.put):
            return go(request, reverse("bench_quote", args=[job.ref]))
    code = 422 if refused else status(form)
    return show(request, "bench/quote_line.html", job, code, form=form, line=line, refused=refused)


@require_POST
@for_staff
@with_job
def quote_line_out(request: HttpRequest, job: Job, pk: int) -> HttpResponse:
    line = Line.objects.select_related("quote__job").filter(pk=pk, quote__job=job).first()
    try:
        if line:  # else a second press: it is out already
            remove_line(line)
    except Refused as refused:
        return quote_page(request, job, Workshop.objects.get(), 422, refused=refused.sentence)
    return go(request, reverse("bench_quote", args=[job.ref]))


@require_POST
@for_staff
@with_job
def quote_drop(request: HttpRequest, job: Job) -> HttpResponse:
    draft = draft_of(job)
    if draft is None:  # a second press: it is gone, as was asked
        return to_job(request, job)
    return pressed(request, job, lambda: drop_draft(draft), _("Thrown away. Nobody had seen it."))


@require_POST
@for_staff
@with_job
def quote_back(request: HttpRequest, job: Job) -> HttpResponse:
    said = _("The quote is taken back. It can no longer be answered.")
    return pressed(request, job, lambda: take_back_quote(job, request.actor), said)


@require_POST
@for_staff
@with_job
def quote_renew(request: HttpRequest, job: Job) -> HttpResponse:
    said = _("Sent again at the same prices, with a new last day.")
    return pressed(request, job, lambda: renew(job, request.actor), said)


def _begin(request: HttpRequest, job: Job, house: Workshop) -> HttpResponse:
    draft_quote(job)
    return go(request, request.get_full_path())  # with the finding that was to be quoted


def _add_line(request: HttpRequest, job: Job, house: Workshop) -> HttpResponse:
    form = LineForm(job, house, draft_of(job), request.POST)
    if not carried_out(form, form.put):
        return quote_page(request, job, house, 422, line_form=form)
    return go(request, request.path)


def _rows(request: HttpRequest, job: Job, house: Workshop) -> HttpResponse:
    form, refused = _with_rows(request, job, house, None)
    return quote_page(request, job, house, 422 if refused else 200, line_form=form, refused=refused)


def _with_rows(request: HttpRequest, job: Job, house: Workshop, line: Line | None) -> tuple[LineForm, str]:
    """The form with all that was typed, and either one more way, or the ways that the library knows; or why there are none."""
    told, refused, more = form_values(request), "", 0
    if request.POST["do"] == "more":
        more = 1
    elif found := tries_of(list(job.findings.standing().filter(pk__in=_numbers(told["findings"])))):
        told = without(told) | found
    else:
        refused = _("The library does not say how work on these findings may turn out. Write it by hand.")
    form = LineForm(job, house, line.quote if line else draft_of(job), None, line, initial=told, more=more)
    form.just_grown = True
    return form, refused


def form_values(request: HttpRequest) -> dict[str, Any]:
    """What was typed, as first values of another form."""
    several = {name: request.POST.getlist(name) for name in ("findings", "requires")}
    return {**request.POST.dict(), **several}


def _numbers(typed: list[str]) -> list[int]:
    return [int(each) for each in typed if each.isdecimal() and len(each) < 19]


def _usual(request: HttpRequest, job: Job, house: Workshop) -> HttpResponse:
    """One press for what comes with most jobs, at the workshop's own price."""
    for usual in usual_lines(job, house):
        if usual.kind == request.POST.get("kind"):
            _put(job, usual)
    return go(request, request.path)


def _send(request: HttpRequest, job: Job, house: Workshop) -> HttpResponse:
    draft = draft_of(job)
    if draft is None:
        return to_job(request, job, _("The quote has been sent already."))
    form = send_form_for(draft, house, request.POST)
    if not form.is_valid():
        return quote_page(request, job, house, 422, send_form=form)
    try:
        send_quote(draft, request.actor, sending=form.sending())
    except Refused as refused:
        refuse(form, refused)
        return quote_page(request, job, house, 422, send_form=form)
    goes_on = draft.is_supplementary and not form.cleaned_data.get("work_waits")
    said = _("Sent. What is agreed goes on.") if goes_on else _("Sent. It is %(called)s’s move.")
    return to_job(request, job, said % {"called": job.customer.called})


def _preview(request: HttpRequest, job: Job, house: Workshop) -> HttpResponse:
    draft = draft_of(job)
    if draft is None:
        return quote_page(request, job, house)
    form = send_form_for(draft, house, request.POST)
    if not form.is_valid():
        return quote_page(request, job, house, 422, send_form=form)
    return quote_page(request, job, house, send_form=form, preview=preview(job, draft, form))


def _put(job: Job, line: LineDraft) -> None:
    with transaction.atomic():
        put_line(draft_quote(job), line)
