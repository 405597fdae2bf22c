"""The workshop's own tables: further rates of tax, and months of warranty for certain work. Sent quotes keep what they were sent with."""

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from jobs.actions.refusals import Refused
from jobs.models import TaxRate, WarrantyTerm, Workshop
from jobs.words import TaxCategory

MOST_ROWS = 40  # of either table; more nobody can choose from


def add_tax_rate(name: str, category: str, rate_bp: int) -> TaxRate:
    """Raises Refused for a rate that is there already, one without its per cent, or per cent in a category that has none."""
    if category == TaxCategory.STANDARD and not rate_bp:
        raise Refused(_("How many per cent is it? Without any, choose another kind."), "rate_bp")
    if category != TaxCategory.STANDARD and rate_bp:
        raise Refused(_("Only “At a rate” has per cent."), "rate_bp")
    house = Workshop.objects.current()
    if house and category == TaxCategory.STANDARD and rate_bp == house.tax_rate_bp:
        raise Refused(_("That is the usual rate."), "rate_bp")
    if TaxRate.objects.count() >= MOST_ROWS:
        raise Refused(_("That is enough rates. Take one away first."))
    try:
        with transaction.atomic():
            return TaxRate.objects.create(name=name, category=category, rate_bp=rate_bp)
    except IntegrityError as twin:
        there = TaxRate.objects.filter(category=category, rate_bp=rate_bp).first()
        told = {"name": there.name if there else name}
        raise Refused(_("There is a rate like that already: %(name)s.") % told, "rate_bp") from twin


def drop_tax_rate(pk: int) -> None:
    """It can no longer be chosen. Lines that have it keep it, because they have category and rate of their own."""
    TaxRate.objects.filter(pk=pk).delete()


def put_warranty_term(kind: str, mechanism: str, months: int) -> WarrantyTerm:
    """So many months on this kind of line and this mechanism ("": any); what stood there before gives way.

    Raises Refused for neither of the two: that is what the workshop's usual months are for.
    """
    if not (kind or mechanism):
        raise Refused(
            _("Choose what it is for. For everything else there are the usual months above."), "kind"
        )
    if WarrantyTerm.objects.exclude(kind=kind, mechanism=mechanism).count() >= MOST_ROWS:
        raise Refused(_("That is enough of them. Take one away first."))
    term, _made = WarrantyTerm.objects.update_or_create(
        kind=kind, mechanism=mechanism, defaults={"months": months}
    )
    return term


def drop_warranty_term(pk: int) -> None:
    """From now on the usual months, or those of a wider row, are given. Covers that were given stay as they are."""
    WarrantyTerm.objects.filter(pk=pk).delete()
