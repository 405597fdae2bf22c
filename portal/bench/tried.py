"""At the bench the try shows it: what came out, what follows from it, and what an "up to" line came to in the end."""

from dataclasses import dataclass

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_POST

from jobs import money
from jobs.actions.refusals import Refused
from jobs.actions.trying import (
    MAY_PRICE,
    MAY_TRY,
    Road,
    note_final_price,
    note_outcome,
    roads,
    undo_outcome,
    up_to_lines,
    waiting_tries,
)
from jobs.models import Job, Line, Tried
from portal.access import for_staff
from portal.answers import carried_out, status
from portal.bench.common import show, to_job, with_job
from portal.bench.fields import MoneyField


class MistakeForm(forms.Form):
    use_required_attribute = False

    because = forms.CharField(
        label=gettext_lazy("What was wrong with it"),
        max_length=300,
        error_messages={"required": gettext_lazy("Say what was wrong with it.")},
    )


class FinalPriceForm(forms.Form):
    """What an "up to" line came to."""

    price = MoneyField(
        label=gettext_lazy("It came to"),
        required=True,
        error_messages={"required": gettext_lazy("Type what it came to.")},
    )
    note = forms.CharField(label=gettext_lazy("A word on it"), max_length=300, required=False)

    def __init__(self, line: Line, data: object = None) -> None:
        final = getattr(line, "final_price", None)
        first = {"price": final.price, "note": final.note} if final else {}
        super().__init__(data, initial=first, auto_id=f"id_final{line.pk}_%s")
        self.line = line
        self.fields["price"].currency = line.quote.currency


@dataclass(frozen=True)
class Waiting:
    """An agreed try that nobody has noted, and where each of its outcomes would lead: (outcome's id, its words, what then).

    `may_fit`: one would pass their ceiling, but only because an "up to" line still counts in full.
    """

    line: Line
    presses: list[tuple[int, str, str]]
    may_fit: bool = False


def waiting(job: Job) -> list[Waiting]:
    if job.stage not in MAY_TRY:
        return []
    return [_waiting(line) for line in waiting_tries(job)]


def _waiting(line: Line) -> Waiting:
    ahead = roads(line)
    presses = [(road.outcome.pk, road.outcome.title, leads_to(road, line.quote.currency)) for road in ahead]
    unpriced = line.quote.lines.filter(up_to=True, choice__yes=True, final_price__isnull=True)
    return Waiting(line, presses, any(road.over_ceiling for road in ahead) and unpriced.exists())


def price_forms(job: Job, sent: FinalPriceForm | None = None) -> list[FinalPriceForm]:
    """A form for each agreed "up to" line; the one that was sent stands in its place."""
    if job.stage not in MAY_PRICE:
        return []
    return [sent if sent and sent.line.pk == line.pk else FinalPriceForm(line) for line in up_to_lines(job)]


@dataclass(frozen=True)
class Done:
    """What came out of a try, and what then, in words."""

    tried: Tried
    then: str
    may_be_undone: bool


def done(job: Job) -> list[Done]:
    """What came out of tries so far."""
    rows = Tried.objects.filter(line__quote__job=job)
    rows = rows.select_related("line__quote", "outcome", "follow_on").order_by("at", "pk")
    undo = job.stage in MAY_TRY
    return [Done(each, leads_to(each, each.line.quote.currency), undo) for each in rows]


def leads_to(road: Road | Tried, currency: str) -> str:
    """What follows from an outcome, in a few words."""
    if road.then == Tried.Then.GOES_ON and road.follow_on:
        sum_ = money.show(road.follow_on.price, currency)
        return _("Go on: %(line)s, %(sum)s.") % {"line": road.follow_on.title, "sum": sum_}
    if road.then == Tried.Then.ASKS:
        return _("Stop: it would pass their ceiling.") if road.over_ceiling else _("Stop and ask.")
    if road.then == Tried.Then.ENDS:
        return _("We stop there.")
    return _("Nothing more to do.")


@require_POST
@for_staff
@with_job
def tried(request: HttpRequest, job: Job, pk: int) -> HttpResponse:
    """One press: this came out. What follows is said at once."""
    from portal.bench.job import job_page

    line = get_object_or_404(Line.objects.select_related("quote__job"), pk=pk, quote__job=job)
    named = request.POST.get("outcome", "")
    outcome = line.outcomes.filter(pk=named).first() if named.isdecimal() and len(named) < 19 else None
    if outcome is None:
        return job_page(request, job, refused=_("Press what came out of it."))
    try:
        noted = note_outcome(line, outcome, request.actor)
    except Refused as refused:
        return job_page(request, job, refused=refused.sentence)
    return to_job(request, job, _said(noted))


@require_http_methods(["GET", "HEAD", "POST"])
@for_staff
@with_job
def tried_undo(request: HttpRequest, job: Job, pk: int) -> HttpResponse:
    """Take back what was noted of a try by mistake, with a reason. Both stay written down."""
    rows = Tried.objects.select_related("line__quote__job", "outcome")
    noted = get_object_or_404(rows, line=pk, line__quote__job=job)
    form = MistakeForm(request.POST if request.method == "POST" else None, label_suffix="")
    by = request.actor
    if form.is_bound and carried_out(
        form, lambda: undo_outcome(noted.line, form.cleaned_data["because"], by)
    ):
        return to_job(request, job, _("Taken back. Note what really came out."))
    return show(request, "bench/tried_undo.html", job, status(form), form=form, tried=noted)


@require_POST
@for_staff
@with_job
def final_price(request: HttpRequest, job: Job, pk: int) -> HttpResponse:
    """What an "up to" line came to; what cannot be is said beside its field, on the job's page."""
    from portal.bench.job import job_page

    lines = Line.objects.select_related("quote__job", "final_price")
    line = get_object_or_404(lines, pk=pk, quote__job=job)
    form = FinalPriceForm(line, request.POST)
    by = request.actor
    if carried_out(
        form, lambda: note_final_price(line, form.cleaned_data["price"], by, form.cleaned_data["note"])
    ):
        shown = money.show(form.cleaned_data["price"], line.quote.currency)
        return to_job(request, job, _("“%(line)s” came to %(sum)s.") % {"line": line.title, "sum": shown})
    return job_page(request, job, priced=form)


def _said(noted: Tried) -> str:
    currency = noted.line.quote.currency
    if noted.then == Tried.Then.GOES_ON and noted.follow_on:
        sum_ = money.show(noted.follow_on.price, currency)
        return _("Go on: %(line)s, %(sum)s was agreed.") % {"line": noted.follow_on.title, "sum": sum_}
    if noted.then == Tried.Then.ASKS and noted.over_ceiling:
        ceiling = money.show(noted.line.quote.decision.ceiling, currency)
        return _("Stop: it would pass their ceiling of %(sum)s. Write a supplementary quote.") % {
            "sum": ceiling
        }
    if noted.then == Tried.Then.ASKS:
        return _("Stop: they asked to be asked. Write a supplementary quote.")
    if noted.then == Tried.Then.ENDS:
        return _("Stop there, as was said beforehand. Nothing more is added for it.")
    return _("Nothing more to do, and nothing more to pay for it.")
