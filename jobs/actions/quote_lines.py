"""The lines of a quote that is being written: work by time or at a price, parts, alternatives, tries with their outcomes."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from django.db.models import Max
from django.utils.translation import gettext as _

from jobs.actions.moving import changing
from jobs.actions.refusals import Refused
from jobs.models import Finding, Line, Outcome, Quote
from jobs.quoting import Tax, for_time
from jobs.words import FIXED_KINDS

MOST_LINES = 60
MOST_OUTCOMES = 6


@dataclass(frozen=True)
class OutcomeDraft:
    """One way a try may turn out; `weight` against those of the other outcomes. `follow_ons`: one of them may be agreed."""

    title: str
    weight: int = 1
    key: str = ""
    seen: int = 0
    stops: bool = False
    follow_ons: "Sequence[LineDraft]" = ()


@dataclass(frozen=True)
class LineDraft:
    """One line as the technician writes it. `price` in minor units; with `minutes` and `per_hour` it is worked out from them.

    `up_to`: the price is the most, `least` the least. `tax`: None for the usual rate of the workshop. `either`: lines with the same
    number are alternatives.
    """

    kind: str
    need: str
    title: str
    price: int = 0
    why: str = ""
    months: int = 12
    findings: Sequence[Finding] = ()
    mechanism: str = ""
    tax: Tax | None = None
    minutes: int | None = None
    per_hour: int | None = None
    up_to: bool = False
    least: int = 0
    requires: Sequence[Line] = ()
    either: int | None = None
    outcomes: Sequence[OutcomeDraft] = field(default=())


def put_line(quote: Quote, line: LineDraft, old: Line | None = None) -> Line:
    """Add a line to a draft, or write over one of its lines. Raises Refused for a finding or a line of another job or quote.

    A new line equal to one that is there is that one: a form sent twice adds one line.
    """
    _check(quote, line, old)
    with changing(quote.job):
        must_be_draft(quote)
        said = _said(quote, line)
        was = old.either if old else None
        row = old or quote.lines.asked().filter(**said).first()
        if row is None:
            if quote.lines.count() >= MOST_LINES * 2:
                raise Refused(_("That is more than one quote can hold. Put some lines together."))
            row = Line(quote=quote, position=_next_position(quote))
        for name, value in said.items():
            setattr(row, name, value)
        row.save()
        row.findings.set(line.findings)
        row.requires.set(line.requires)
        _put_outcomes(row, line.outcomes)
        if was not in (None, row.either):
            _end_group_of_one(quote, was)
        return row


def remove_line(line: Line) -> None:
    with changing(line.quote.job):
        must_be_draft(line.quote)
        line.delete()
        if line.either is not None:
            _end_group_of_one(line.quote, line.either)


def group_of(quote: Quote, line: Line) -> int:
    """The number of the alternatives that `line` is one of; with nobody beside it yet, it begins a group. Call before `put_line`."""
    if line.quote_id != quote.pk:
        raise Refused(_("That line belongs to another quote."), "either")
    with changing(quote.job):
        must_be_draft(quote)
        line.refresh_from_db(fields=["either"])
        if line.either is None:
            last = quote.lines.aggregate(last=Max("either"))["last"]
            line.either = (last or 0) + 1
            line.save(update_fields=["either"])
        return line.either


def _end_group_of_one(quote: Quote, group: int) -> None:
    """What is left alone of some alternatives is a line like any other."""
    left = quote.lines.filter(either=group)
    if left.count() == 1:
        left.update(either=None)


def must_be_draft(quote: Quote) -> None:
    quote.refresh_from_db(fields=["state"])
    if quote.state != Quote.State.DRAFT:
        raise Refused(_("This quote has been sent. Write a new one instead."))


def price_of(line: LineDraft) -> int:
    """Minor units: worked out from the time where there is one."""
    if line.minutes is not None and line.per_hour is not None:
        return for_time(line.minutes, line.per_hour)
    return line.price


def _check(quote: Quote, line: LineDraft, old: Line | None) -> None:
    if not line.title.strip():
        raise Refused(_("Say what this line is for."), "title")
    if old is not None and old.quote_id != quote.pk:
        raise Refused(_("That line belongs to another quote."))
    if any(finding.job_id != quote.job_id for finding in line.findings):
        raise Refused(_("That finding belongs to another job."), "findings")
    if any(each.quote_id != quote.pk for each in line.requires):
        raise Refused(_("That line belongs to another quote."), "requires")
    if old is not None and any(each.pk == old.pk for each in line.requires):
        raise Refused(_("A line cannot need itself."), "requires")
    if line.up_to and line.least > price_of(line):
        raise Refused(_("The least cannot be more than the most."), "least")
    if len(line.outcomes) == 1:
        raise Refused(_("A try needs at least two ways to turn out."), "outcomes")
    if len(line.outcomes) > MOST_OUTCOMES:
        raise Refused(_("Six ways to turn out are the most that anybody can weigh."), "outcomes")
    if line.outcomes and line.kind in FIXED_KINDS:
        raise Refused(_("Only work and parts can be tried first."), "outcomes")


def _said(quote: Quote, line: LineDraft) -> dict[str, object]:
    """Values for the columns of a line."""
    tax = line.tax or Tax(rate_bp=quote.tax_rate_bp)
    first = next(iter(line.findings), None)
    return {
        "kind": line.kind,
        "need": line.need,
        "title": line.title,
        "why": line.why,
        "price": price_of(line),
        "months": line.months,
        "mechanism": line.mechanism or (first.mechanism if first else ""),
        "tax_category": tax.category,
        "tax_rate_bp": tax.rate_bp,
        "minutes": line.minutes,
        "per_hour": line.per_hour,
        "up_to": line.up_to,
        "least": line.least if line.up_to else 0,
        "either": line.either,
    }


def _put_outcomes(row: Line, outcomes: Sequence[OutcomeDraft]) -> None:
    """All anew: a draft's outcomes have no history."""
    row.outcomes.all().delete()
    for place, each in enumerate(outcomes, start=1):
        outcome = Outcome.objects.create(
            line=row,
            position=place,
            key=each.key,
            title=each.title.strip(),
            weight=max(1, each.weight),
            seen=each.seen,
            stops=each.stops,
        )
        for follow_on in each.follow_ons:
            line = Line(quote=row.quote, position=_next_position(row.quote), outcome=outcome)
            said = _said(row.quote, follow_on) | {"mechanism": follow_on.mechanism or row.mechanism}
            for name, value in said.items():
                setattr(line, name, value)
            line.save()


def _next_position(quote: Quote) -> int:
    last = quote.lines.aggregate(last=Max("position"))["last"]
    return (last or 0) + 1
