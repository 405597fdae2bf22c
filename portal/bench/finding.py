"""Writing a finding: look it up in the library, fill in the facts, mark the photographs, see it as the customer will, post it."""

from typing import Any

from django import forms
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext
from django.views.decorators.http import require_GET, require_http_methods, require_POST
from django_htmx.http import trigger_client_event

from jobs.actions.finding import correct, drop, keep, post, shown, withdraw_finding
from jobs.actions.photo import describe_photo, discard_photo
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.library import Word
from jobs.models import Finding, Job, Photo
from portal.access import for_staff
from portal.answers import carried_out, refuse, status
from portal.bench import sheet as sheets
from portal.bench.alike import alike
from portal.bench.common import if_told, pressed, show, to_job, with_job
from portal.bench.explaining import suggestions
from portal.bench.photos import take_sent
from portal.bench.sheet import Sheet


@require_http_methods(["GET", "POST"])
@for_staff
@with_job
def finding_new(request: HttpRequest, job: Job) -> HttpResponse:
    return _write(request, job, None)


@require_http_methods(["GET", "POST"])
@for_staff
@with_job
def finding(request: HttpRequest, job: Job, pk: int) -> HttpResponse:
    return _write(request, job, get_object_or_404(job.findings, pk=pk))


@require_GET
@for_staff
@with_job
def explanations(request: HttpRequest, job: Job) -> HttpResponse:
    """Explanations that answer to what is typed. How many there are is read out, because the focus stays in the search."""
    typed = request.GET.get("look", "").strip()
    found = suggestions(job, typed)
    context = {"job": job, "suggested": found, "looked": typed}
    response = render(request, "bench/finding.html#suggestions", context)
    told = ngettext("%(n)d explanation", "%(n)d explanations", len(found)) % {"n": len(found)}
    return trigger_client_event(response, "say", {"value": told})


@require_POST
@for_staff
@with_job
def finding_drop(request: HttpRequest, job: Job, pk: int) -> HttpResponse:
    found = job.findings.filter(pk=pk).first()
    if found is None:  # a second press: it is gone, as was asked
        return to_job(request, job)
    return pressed(request, job, lambda: drop(found), _("Thrown away. Nobody had seen it."))


class TakeBackForm(forms.Form):
    because = forms.CharField(
        label=gettext_lazy("Why it is taken back"),
        help_text=gettext_lazy("The customer reads this. The finding stays on the page, struck through."),
        max_length=400,
        error_messages={"required": gettext_lazy("Say why, in a sentence.")},
    )


@require_http_methods(["GET", "POST"])
@for_staff
@with_job
def finding_back(request: HttpRequest, job: Job, pk: int) -> HttpResponse:
    found = get_object_or_404(job.findings, pk=pk)
    form = TakeBackForm(request.POST if request.method == "POST" else None)
    if form.is_bound and carried_out(
        form, lambda: withdraw_finding(found, form.cleaned_data["because"], request.actor)
    ):
        return to_job(request, job, _("Taken back, with the reason."))
    return show(request, "bench/finding_back.html", job, status(form), form=form, finding=found)


def _write(request: HttpRequest, job: Job, found: Finding | None) -> HttpResponse:
    if request.method == "GET":
        return _page(request, sheets.stored(job, found))
    data = request.POST
    new, refused = take_sent(request, job, Photo.Purpose.FINDING)
    wanted = "use" if "use" in data else data.get("do", "keep")
    if wanted in ("use", "photos"):
        key = data.get("use") or data.get("explanation", "")
        return _page(
            request, sheets.used(job, found, data, new, key), refused=refused, just_used=wanted == "use"
        )
    sheet = sheets.sent(job, found, data, new, strict=wanted != "keep")
    if not sheet.is_valid():
        return _page(request, sheet, 422, refused=refused)
    if wanted == "preview":
        return _preview(request, sheet, refused)
    return _save(request, sheet, wanted, refused)


def _save(request: HttpRequest, sheet: Sheet, wanted: str, refused: list[str]) -> HttpResponse:
    by: Actor = request.actor
    try:
        # All or nothing: a finding that may not be posted leaves no draft behind, or each try would leave one.
        with transaction.atomic():
            kept = _keep(sheet, by)
            _arrange(sheet, kept)
            if wanted == "post" and kept.state == Finding.State.DRAFT:
                post(kept, by)
    except Refused as no:
        refuse(sheet.form, no)
        return _page(request, sheet, 422, refused=refused)
    return to_job(request, sheet.job, " ".join([_said(sheet, kept), *refused]))


def _keep(sheet: Sheet, by: Actor) -> Finding:
    if sheet.finding and sheet.finding.state != Finding.State.DRAFT:
        return correct(sheet.finding, sheet.draft(), sheet.form.cleaned_data["because"], by)
    return keep(sheet.job, sheet.draft(), sheet.finding)


def _arrange(sheet: Sheet, kept: Finding) -> None:
    """Give the photographs of the sheet to the finding, with captions and marks. One left out is thrown away: nobody has seen it."""
    for shot in sheet.shots:
        if shot.is_left_out and not sheet.is_posted:
            discard_photo(shot.photo)
        else:
            describe_photo(shot.photo, caption=shot.caption, finding=kept, rings=shot.rings())


def _said(sheet: Sheet, kept: Finding) -> str:
    called = {"called": sheet.job.customer.called}
    if kept.state == Finding.State.DRAFT:
        return _("Kept for later. %(called)s does not see it.") % called
    if sheet.is_posted:
        return _("%(called)s reads it as it is now, and what it said before.") % called
    return if_told(sheet.job, _("Posted. %(called)s gets a letter."))


def _preview(request: HttpRequest, sheet: Sheet, refused: list[str]) -> HttpResponse:
    """As the customer will read it: the same part of the page, from the same snapshot of the library."""
    draft = sheet.draft()
    finding = Finding(job=sheet.job, state=Finding.State.POSTED, **vars(draft))
    try:
        finding.shown = shown(draft.explanation, draft.facts)
    except Refused as no:
        refuse(sheet.form, no)
        return _page(request, sheet, 422, refused=refused)
    seen = [shot for shot in sheet.shots if shot.is_ready and not shot.is_left_out]
    pictures = [shot.as_typed(draft.certainty) for shot in seen]
    words = [Word(**word) for word in finding.shown.get("glossary", [])]
    return _page(request, sheet, refused=refused, preview=finding, pictures=pictures, words=words)


def _page(request: HttpRequest, sheet: Sheet, code: int = 200, **context: Any) -> HttpResponse:
    """The whole sheet, or for htmx the part beside the photographs."""
    template = "bench/finding.html#said" if request.headers.get("HX-Request") else "bench/finding.html"
    context |= {"sheet": sheet, "suggested": suggestions(sheet.job), "finding": sheet.finding}
    context["alike"] = alike(sheet.job)
    return show(request, template, sheet.job, code, **context)
