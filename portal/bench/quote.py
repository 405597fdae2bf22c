"""Writing a quote: lines, totals by the workshop's tax rule, how long it is good, as the customer will see it; then sent."""

from datetime import date, timedelta
from typing import Any

from django import forms
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_POST

from jobs.actions.quote import (
    LineDraft,
    draft_quote,
    put_line,
    remove_line,
    renew,
    send_quote,
    take_back_quote,
)
from jobs.actions.refusals import Refused
from jobs.evidence import answer_to, sheet
from jobs.models import Finding, Job, Line, Quote, Workshop
from jobs.words import LineKind, Need, ReturnBy, TaxMode
from portal.access import for_staff
from portal.bench.answers import carried_out, go, refuse, status
from portal.bench.common import pressed, show, to_job, with_job
from portal.bench.fields import DayField, MoneyField


class LineForm(forms.Form):
    """One line. The price is typed as money, with or without tax as the workshop counts."""

    kind = forms.ChoiceField(label=gettext_lazy("Kind"), choices=LineKind.choices, initial=LineKind.WORK)
    need = forms.ChoiceField(
        label=gettext_lazy("How much we urge it"),
        choices=Need.choices,
        widget=forms.RadioSelect,
        initial=Need.NEEDED,
        error_messages={"required": gettext_lazy("Press one of these.")},
    )
    title = forms.CharField(
        label=gettext_lazy("What it is"), max_length=140, widget=forms.TextInput(attrs={"class": "reads"})
    )
    why = forms.CharField(
        label=gettext_lazy("Why"), max_length=400, required=False, widget=forms.Textarea(attrs={"rows": 2})
    )
    price = MoneyField(label=gettext_lazy("Price"))
    months = forms.IntegerField(
        label=gettext_lazy("Months of warranty"), min_value=0, max_value=120,
        widget=forms.NumberInput(attrs={"class": "short"}),
    )  # fmt: skip
    findings = forms.ModelMultipleChoiceField(
        label=gettext_lazy("Findings that it answers"),
        queryset=Finding.objects.none(),
        widget=forms.CheckboxSelectMultiple,
        required=False,
        error_messages={"invalid_choice": gettext_lazy("That finding is not of this job.")},
    )

    def __init__(self, job: Job, house: Workshop, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["findings"].queryset = job.findings.standing()  # type: ignore[attr-defined]
        self.fields["price"].currency = house.currency  # type: ignore[attr-defined]
        self.fields["price"].help_text = price_words(house)
        self.fields["months"].initial = house.warranty_months

    def line(self) -> LineDraft:
        return LineDraft(**{**self.cleaned_data, "findings": list(self.cleaned_data["findings"])})


class SendForm(forms.Form):
    valid_until = DayField(label=gettext_lazy("Good until"))
    note = forms.CharField(
        label=gettext_lazy("A word to the customer"),
        max_length=1000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )


@require_http_methods(["GET", "POST"])
@for_staff
@with_job
def quote(request: HttpRequest, job: Job) -> HttpResponse:
    """The quote being written. `do` says which: begin, line, usual (post home, examination), preview, send."""
    house = Workshop.objects.current()
    if house is None:
        return to_job(request, job, _("Set up the workshop first."))
    if request.method == "GET":
        return _page(request, job, house)
    acts = {"begin": _begin, "usual": _usual, "preview": _preview, "send": _send}
    act = acts.get(request.POST.get("do", ""), _add_line)
    try:
        return act(request, job, house)
    except Refused as refused:
        return _page(request, job, house, 422, refused=refused.sentence)


@require_http_methods(["GET", "POST"])
@for_staff
@with_job
def quote_line(request: HttpRequest, job: Job, pk: int) -> HttpResponse:
    """Change one line of the draft, or take it out."""
    line = get_object_or_404(Line.objects.select_related("quote__job"), pk=pk, quote__job=job)
    house = Workshop.objects.get()
    stored = {name: getattr(line, name) for name in ("kind", "need", "title", "why", "months")}
    stored |= {"price": typed_price(line.price, house.currency), "findings": line.findings.all()}
    form = LineForm(job, house, request.POST if request.method == "POST" else None, initial=stored)
    if form.is_bound and carried_out(form, lambda: put_line(line.quote, form.line(), line)):
        return go(request, reverse("bench_quote", args=[job.ref]))
    return show(request, "bench/quote_line.html", job, status(form), form=form, line=line)


@require_POST
@for_staff
@with_job
def quote_line_out(request: HttpRequest, job: Job, pk: int) -> HttpResponse:
    line = Line.objects.select_related("quote__job").filter(pk=pk, quote__job=job).first()
    try:
        if line:  # else a second press: it is out already
            remove_line(line)
    except Refused as refused:
        return _page(request, job, Workshop.objects.get(), 422, refused=refused.sentence)
    return go(request, reverse("bench_quote", args=[job.ref]))


@require_POST
@for_staff
@with_job
def quote_back(request: HttpRequest, job: Job) -> HttpResponse:
    said = _("The quote is taken back. It can no longer be answered.")
    return pressed(request, job, lambda: take_back_quote(job, request.actor), said)  # type: ignore[attr-defined]


@require_POST
@for_staff
@with_job
def quote_renew(request: HttpRequest, job: Job) -> HttpResponse:
    said = _("Sent again at the same prices, with a new last day.")
    return pressed(request, job, lambda: renew(job, request.actor), said)  # type: ignore[attr-defined]


def usual_last_day(house: Workshop) -> date:
    return timezone.localdate() + timedelta(days=house.quote_days)


def price_words(house: Workshop) -> str:
    """How the workshop counts its prices, for the hint beside the field."""
    if house.tax_mode == TaxMode.ADDED:
        return _("Without %(tax)s.") % {"tax": house.tax_name}
    if house.tax_mode == TaxMode.INCLUDED:
        return _("With %(tax)s in it.") % {"tax": house.tax_name}
    return ""


def tax_words(quote: Quote) -> str:
    """VAT 20 %; "" without tax."""
    if quote.tax_mode == TaxMode.NONE or not quote.tax_rate_bp:
        return ""
    return f"{quote.tax_name} {quote.tax_rate_bp / 100:g} %"


def typed_price(minor: int, currency: str) -> str:
    """8550, "GBP" -> "85.50": as it would be typed."""
    from jobs.money import to_decimal

    return f"{to_decimal(minor, currency):f}"


def _begin(request: HttpRequest, job: Job, house: Workshop) -> HttpResponse:
    draft_quote(job)
    return go(request, request.path)


def _add_line(request: HttpRequest, job: Job, house: Workshop) -> HttpResponse:
    form = LineForm(job, house, request.POST)
    if not carried_out(form, lambda: _put(job, form.line())):
        return _page(request, job, house, 422, line_form=form)
    return go(request, request.path)


def _usual(request: HttpRequest, job: Job, house: Workshop) -> HttpResponse:
    """One press for what comes with most jobs, at the workshop's own price."""
    for usual in usual_lines(job, house):
        if usual.kind == request.POST.get("kind"):
            _put(job, usual)
    return go(request, request.path)


def _send(request: HttpRequest, job: Job, house: Workshop) -> HttpResponse:
    form = SendForm(request.POST)
    draft = _draft_of(job)
    if draft is None:
        return to_job(request, job, _("The quote has been sent already."))
    if not form.is_valid():
        return _page(request, job, house, 422, send_form=form)
    try:
        send_quote(draft, request.actor, form.cleaned_data["valid_until"], form.cleaned_data["note"])  # type: ignore[attr-defined]
    except Refused as refused:
        refuse(form, refused)
        return _page(request, job, house, 422, send_form=form)
    return to_job(request, job, _("Sent. It is %(called)s’s move.") % {"called": job.customer.called})


def _preview(request: HttpRequest, job: Job, house: Workshop) -> HttpResponse:
    form = SendForm(request.POST)
    return _page(
        request, job, house, 200 if form.is_valid() else 422, send_form=form, preview=form.is_valid()
    )


def _put(job: Job, line: LineDraft) -> None:
    with transaction.atomic():
        put_line(draft_quote(job), line)


def usual_lines(job: Job, house: Workshop) -> list[LineDraft]:
    """Post home and the examination, where the workshop asks for them and the quote has none."""
    draft = _draft_of(job)
    there = set(draft.lines.values_list("kind", flat=True)) if draft else set()
    found = []
    if house.carriage_fee and job.return_by == ReturnBy.POST:
        found.append(
            LineDraft(LineKind.CARRIAGE, Need.NEEDED, _("Insured post home"), house.carriage_fee, months=0)
        )
    if house.assessment_fee:
        found.append(
            LineDraft(LineKind.ASSESSMENT, Need.NEEDED, _("The examination"), house.assessment_fee, months=0)
        )
    return [line for line in found if line.kind not in there]


def _draft_of(job: Job) -> Quote | None:
    return job.quotes.filter(state=Quote.State.DRAFT).first()


def _page(request: HttpRequest, job: Job, house: Workshop, code: int = 200, **context: Any) -> HttpResponse:
    draft = _draft_of(job)
    lines = list(draft.lines.asked().prefetch_related("findings")) if draft else []
    context = {
        "quote": draft,
        "lines": lines,
        "last": job.quotes.exclude(state=Quote.State.DRAFT).order_by("-n").first(),
        "usual": usual_lines(job, house),
        "currency": draft.currency if draft else house.currency,
        "total": answer_to(draft, sheet(draft).everything).total if draft else None,
        "rows": [(line.title, line.price) for line in lines],
        "tax_words": tax_words(draft) if draft else "",
        "tax_added": house.tax_mode == TaxMode.ADDED,
        "all_together": _("If all of it is wanted"),
        "line_form": LineForm(job, house),
        "send_form": SendForm(
            initial={"note": draft.note if draft else "", "valid_until": usual_last_day(house)}
        ),
        **context,
    }
    return show(request, "bench/quote.html", job, code, **context)
