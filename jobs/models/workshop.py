from django.db import models
from django.utils.translation import gettext_lazy as _

from jobs.words import TaxMode


def usual_nudge_days() -> list[int]:
    return [3, 7, 14]


class WorkshopManager(models.Manager["Workshop"]):
    def current(self) -> "Workshop | None":
        """The one workshop of this installation, or None before the first run."""
        return self.order_by("pk").first()


class Workshop(models.Model):
    """The house: one row. Amounts in minor units of `currency`."""

    name = models.CharField(_("name"), max_length=80)
    place = models.CharField(_("place"), max_length=80)
    address = models.TextField(_("postal address"), max_length=400)
    telephone = models.CharField(_("telephone"), max_length=40, blank=True)
    email = models.EmailField(_("e-mail"), blank=True)
    signed_by = models.CharField(_("letters are signed by"), max_length=80, blank=True)
    hours = models.TextField(_("opening hours, in words"), max_length=400, blank=True)
    time_zone = models.CharField(_("time zone"), max_length=60, default="Europe/London")
    language = models.CharField(_("language"), max_length=12, default="en-gb")

    currency = models.CharField(_("currency"), max_length=3, default="GBP")
    tax_mode = models.CharField(_("tax"), max_length=10, choices=TaxMode, default=TaxMode.NONE)
    tax_name = models.CharField(_("name of the tax"), max_length=20, blank=True, default="VAT")
    tax_rate_bp = models.PositiveIntegerField(_("tax rate in basis points"), default=0)

    quote_days = models.PositiveSmallIntegerField(_("days a quote is good for"), default=28)
    nudge_days = models.JSONField(_("days after which an answer is chased"), default=usual_nudge_days)
    assessment_fee = models.PositiveIntegerField(_("price of an examination"), default=0)
    carriage_fee = models.PositiveIntegerField(_("price of insured post"), default=0)
    warranty_months = models.PositiveSmallIntegerField(_("months of warranty"), default=12)

    objects = WorkshopManager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(tax_rate_bp__lte=10_000), name="workshop_tax_rate_at_most_100"
            ),
        ]

    def __str__(self) -> str:
        return self.name
