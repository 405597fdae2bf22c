"""How a draft begins: empty, or as a copy of the quote before, line by line."""

from django.utils.translation import gettext as _

from jobs.actions.refusals import Refused
from jobs.models import Job, Line, Outcome, Quote, Workshop
from jobs.words import FIXED_KINDS, TaxCategory


def new_draft(job: Job, taxed_as: Quote | None = None) -> Quote:
    """`taxed_as`: a quote whose tax and credit stay; None for those that the workshop has now."""
    house = Workshop.objects.current()
    if house is None:
        raise Refused(_("Set up the workshop first."))
    last = job.quotes.order_by("-n").first()
    old = last if last and last.state != Quote.State.ANSWERED else None
    as_now = taxed_as or house
    quote = Quote.objects.create(
        job=job,
        n=last.n + 1 if last else 1,
        currency=house.currency,
        tax_mode=as_now.tax_mode,
        tax_name=as_now.tax_name,
        tax_rate_bp=as_now.tax_rate_bp,
        credits_assessment=as_now.credits_assessment,
        note=old.note if old else "",
        deposit=old.deposit if old else 0,
        if_declined=old.if_declined if old else "",
        if_declined_note=old.if_declined_note if old else "",
        work_waits=old.work_waits if old else False,
        replaces=old,
        adds_to=old.adds_to if old else _what_stands(job) or last,
    )
    if old:
        _copy_lines(old, quote)
    return quote


def _what_stands(job: Job) -> Quote | None:
    """The newest quote of which something was agreed: one that was declined has nothing that could be added to."""
    chosen = Line.objects.asked().filter(quote__job=job, choice__yes=True).exclude(kind__in=FIXED_KINDS)
    return job.quotes.filter(lines__in=chosen).order_by("-n").first()


def _copy_lines(old: Quote, quote: Quote) -> None:
    """Lines with their findings, outcomes and follow-ons; what each needs is set once all are there."""
    copies: dict[int, Line] = {}
    outcomes: dict[int, Outcome] = {}
    lines = list(old.lines.prefetch_related("findings", "requires", "outcomes"))
    # Follow-ons come last: their outcome has to be there.
    for line in sorted(lines, key=lambda each: each.outcome_id is not None):
        copies[line.pk] = copy = _copy(line, quote, outcomes)
        for turn in line.outcomes.all():
            outcomes[turn.pk] = _copy_outcome(turn, copy)
    for line in lines:
        copies[line.pk].requires.set([copies[each.pk] for each in line.requires.all() if each.pk in copies])


def _copy(line: Line, quote: Quote, outcomes: dict[int, Outcome]) -> Line:
    kept = ("id", "quote", "outcome", "copied_from")
    told = {
        each.attname: getattr(line, each.attname)
        for each in Line._meta.concrete_fields
        if each.name not in kept
    }
    if (line.tax_category, line.tax_rate_bp) == (TaxCategory.STANDARD, line.quote.tax_rate_bp):
        told["tax_rate_bp"] = quote.tax_rate_bp  # the usual rate, which may be another by now
    outcome = outcomes[line.outcome_id] if line.outcome_id else None
    copy = Line.objects.create(**told, quote=quote, outcome=outcome, copied_from=line)
    copy.findings.set(line.findings.all())
    return copy


def _copy_outcome(turn: Outcome, line: Line) -> Outcome:
    kept = ("id", "line")
    told = {
        each.attname: getattr(turn, each.attname)
        for each in Outcome._meta.concrete_fields
        if each.name not in kept
    }
    return Outcome.objects.create(**told, line=line)
