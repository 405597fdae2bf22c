"""What the form of a line begins with and offers: its first values, the other lines, rates of tax, the usual months."""

from typing import Any

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from jobs.models import Line, Quote, TaxRate, WarrantyTerm, Workshop
from jobs.warranty_terms import Term, months_for
from jobs.words import FIXED_KINDS, TaxMode
from portal.bench import ways


def stored(line: Line) -> dict[str, Any]:
    """First values from a line of the draft."""
    names = ("kind", "need", "title", "why", "months", "minutes", "up_to")
    told = {name: getattr(line, name) for name in names}
    first = line.findings.first()
    told["mechanism"] = "" if first and first.mechanism == line.mechanism else line.mechanism
    by_time = line.minutes is not None
    told |= {"price": None if by_time else line.price, "findings": line.findings.all()}
    told |= {"per_hour": line.per_hour} if by_time else {}
    told |= {"least": line.least or None, "requires": line.requires.all()}
    told["tax"] = f"{line.tax_category}:{line.tax_rate_bp}"
    if line.either is not None:
        told["either"] = line.quote.lines.asked().filter(either=line.either).exclude(pk=line.pk).first()
    return told | ways.from_line(line)


def others_of(quote: Quote | None, line: Line | None) -> QuerySet[Line]:
    """Lines of the quote that this one can need, or stand in the place of."""
    lines = Line.objects.asked().exclude(kind__in=FIXED_KINDS)
    there = lines.filter(quote=quote) if quote and quote.state == Quote.State.DRAFT else lines.none()
    return there.exclude(pk=line.pk) if line else there


def tax_choices(house: Workshop, quote: Quote | None, line: Line | None) -> list[tuple[str, str]]:
    """The usual rate first, then the workshop's further ones; nothing where no tax is charged."""
    mode, name, rate = (
        (quote.tax_mode, quote.tax_name, quote.tax_rate_bp)
        if quote
        else (house.tax_mode, house.tax_name, house.tax_rate_bp)
    )
    if mode == TaxMode.NONE:
        return []
    usual = [(f"S:{rate}", f"{name} {rate / 100:g} %")]
    further = [(f"{each.category}:{each.rate_bp}", each.name) for each in TaxRate.objects.all()]
    kept = dict(usual + [each for each in further if each[0] != usual[0][0]])
    if line:
        kept.setdefault(f"{line.tax_category}:{line.tax_rate_bp}", f"{name} {line.tax_rate_bp / 100:g} %")
    return list(kept.items())


def usual_months(house: Workshop, kind: str, mechanism: str) -> int:
    """What the workshop gives on such a line. Post and examination bear no warranty."""
    if kind in FIXED_KINDS:
        return 0
    terms = (Term(each.kind, each.mechanism, each.months) for each in WarrantyTerm.objects.all())
    return months_for(terms, kind, mechanism, house.warranty_months)


def price_words(house: Workshop) -> str:
    """How the workshop counts its prices, for the hint beside the field."""
    if house.tax_mode == TaxMode.ADDED:
        return _("Without %(tax)s.") % {"tax": house.tax_name}
    if house.tax_mode == TaxMode.INCLUDED:
        return _("With %(tax)s in it.") % {"tax": house.tax_name}
    return ""
