"""The page on which a quote is written: its lines so far, what they come to, what it changes, and the form of the next line."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any, TypeVar

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.utils.translation import override

from jobs import stages
from jobs.actions.quote import LineDraft
from jobs.adding_up import Sheet, reckon
from jobs.convolving import TooMany
from jobs.evidence import content, sheet
from jobs.models import Finding, Job, Line, Quote, Workshop
from jobs.revising import changes
from jobs.words import Bearing, LineKind, Need, ReturnBy, TaxMode
from portal import languages
from portal.bench.common import show
from portal.bench.drafted import Sums, rows, sums
from portal.bench.line_form import LineForm
from portal.bench.prefill import asked_about, from_finding, from_follow_on, may_try
from portal.bench.sending import SendForm, first_values
from portal.customer import quote_changes

Row = TypeVar("Row", Finding, Line)
NOT_YET = ("until", "deposit", "note", "declined", "waits")  # are said when it is sent


def draft_of(job: Job) -> Quote | None:
    """The quote being written."""
    return job.quotes.filter(state=Quote.State.DRAFT).first()


def is_stale(job: Job, draft: Quote | None) -> bool:
    """Whether a draft was to replace a quote that has been agreed while it was written."""
    return draft is not None and not draft.is_supplementary and job.stage in stages.MAY_SUPPLEMENT


def lines_of(quote: Quote) -> list[Line]:
    lines = quote.lines.asked().order_by("position", "pk")
    return list(lines.prefetch_related("findings", "requires", "outcomes__follow_ons"))


def quote_page(
    request: HttpRequest, job: Job, house: Workshop, code: int = 200, **context: Any
) -> HttpResponse:
    draft = draft_of(job)
    lines = lines_of(draft) if draft else []
    last = job.quotes.exclude(state=Quote.State.DRAFT).order_by("-n").first()
    context = {
        "quote": draft,
        "lines": lines,
        "drafted": rows(draft, lines) if draft else [],
        "last": last,
        "adds_to": _adds_to(draft, last),
        "stale": is_stale(job, draft),
        "copies": draft is None and last is not None and last.state != Quote.State.ANSWERED,
        "usual": usual_lines(job, house),
        "tax_added": (draft or house).tax_mode == TaxMode.ADDED,
        "currency": draft.currency if draft else house.currency,
        "sums": sums_of(draft) if draft and lines else None,
        "changed": _changed(draft) if draft else [],
        "to_quote": _to_quote(job, lines),
        "asked_about": [
            each for each in asked_about(job) if each.title not in {line.title for line in lines}
        ],
        "line_form": None,
        "send_form": None,
        **context,
    }
    context["line_form"] = context["line_form"] or _first_form(request, job, house, draft)
    if draft:
        context["send_form"] = context["send_form"] or send_form_for(draft, house)
    return show(request, "bench/quote.html", job, code, **context)


def send_form_for(draft: Quote, house: Workshop, data: Any = None) -> SendForm:
    numbers = sheet(draft)
    initial = first_values(draft, house, numbers) if data is None else None
    return SendForm(draft, highest(numbers), data, currency=draft.currency, initial=initial)


def highest(numbers: Sheet) -> int:
    """The most that a quote can come to; of one with too many tries to add up, what is certain of it."""
    try:
        return reckon(numbers, numbers.everything).highest
    except TooMany:
        return reckon(_without_tries(numbers), numbers.everything).highest


def sums_of(draft: Quote) -> Sums | None:
    """What all of it comes to; None where there are too many tries to add up."""
    numbers = sheet(draft)
    try:
        return sums(draft, reckon(numbers, numbers.everything))
    except TooMany:
        return None


def usual_lines(job: Job, house: Workshop) -> list[LineDraft]:
    """Post home and the examination, where the workshop asks for them and no quote has them yet; in the customer's language."""
    with override(languages.of_customer(job.customer)):
        # Translators: the customer reads this
        post = _("Insured post home")
        # Translators: the customer reads this
        examination = _("The examination")
    quotes = job.quotes.filter(state__in=[Quote.State.DRAFT, Quote.State.ANSWERED])
    there = set(Line.objects.filter(quote__in=quotes).values_list("kind", flat=True))
    found = []
    if house.carriage_fee and job.return_by == ReturnBy.POST:
        found.append(LineDraft(LineKind.CARRIAGE, Need.NEEDED, post, house.carriage_fee, months=0))
    if house.assessment_fee and not quotes.filter(state=Quote.State.ANSWERED).exists():
        found.append(LineDraft(LineKind.ASSESSMENT, Need.NEEDED, examination, house.assessment_fee, months=0))
    return [line for line in found if line.kind not in there]


def _adds_to(draft: Quote | None, last: Quote | None) -> Quote | None:
    """The quote that the new one adds to, if it is a supplementary one."""
    if draft:
        return draft.adds_to
    return (last if last.state == Quote.State.ANSWERED else last.adds_to) if last else None


def _changed(draft: Quote) -> list[str]:
    """What the customer will be told has changed, but for what is only said when it is sent."""
    old = draft.replaces
    if old is None or not old.shown:
        return []
    found = changes(content(old), content(draft))
    return [quote_changes.sentence(each) for each in found if each.kind not in NOT_YET]


def _to_quote(job: Job, lines: list[Line]) -> list[tuple[Finding, bool]]:
    """Findings that ask for work and that no line answers yet, and whether the library knows how the work may turn out."""
    there = {finding.pk for line in lines for finding in line.findings.all()}
    agreed = Line.objects.filter(quote__job=job, choice__isnull=False, findings__isnull=False)
    found = job.findings.standing().exclude(pk__in=agreed.values("findings")).exclude(bearing=Bearing.CLEARS)
    return [(each, may_try(each)) for each in found if each.pk not in there]


def _first_form(request: HttpRequest, job: Job, house: Workshop, draft: Quote | None) -> LineForm:
    """An empty line; with `?finding=` begun from that finding, and with `?try=` from its outcomes in the library too; with `?follows=`
    begun from what may follow a try that stopped to ask.
    """
    found = _named(job.findings.standing(), request.GET.get("finding", ""))
    follow_on = _named(asked_about(job), request.GET.get("follows", ""))
    initial: dict[str, Any] | None = None
    if found:
        initial = from_finding(found, house, "try" in request.GET)
    elif follow_on:
        initial = from_follow_on(follow_on)
    form = LineForm(job, house, draft, initial=initial)
    form.just_grown = found is not None
    return form


def _named(rows: Iterable[Row], typed: str) -> Row | None:
    """The row whose number was typed."""
    return next((row for row in rows if str(row.pk) == typed), None)


def _without_tries(numbers: Sheet) -> Sheet:
    return replace(numbers, items=tuple(replace(item, turns=()) for item in numbers.items))
