from datetime import time

from django.db import models
from django.utils.translation import gettext_lazy as _

from jobs.words import AgainRule, LineKind, Mechanism, Owes, TaxCategory, TaxMode, Tone, Way


def usual_nudge_days() -> list[int]:
    """Only for migrations: a plan is rows of `NudgeStep` by now."""
    return [3, 7, 14]


def monday_to_friday() -> list[int]:
    return [0, 1, 2, 3, 4]


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
    assessment_fee = models.PositiveIntegerField(_("price of an examination"), default=0)
    carriage_fee = models.PositiveIntegerField(_("price of insured post"), default=0)
    warranty_months = models.PositiveSmallIntegerField(_("months of warranty"), default=12)
    again_rule = models.CharField(
        _("mended again under warranty"), max_length=7, choices=AgainRule, default=AgainRule.MINIMUM
    )
    again_months = models.PositiveSmallIntegerField(_("at least so many months"), default=3)

    hour_price = models.PositiveIntegerField(_("price of an hour at the bench"), default=0)
    credits_assessment = models.BooleanField(
        _("the examination is taken off when work is agreed"), default=False
    )
    deposit_bp = models.PositiveIntegerField(_("deposit, as a share of what is agreed"), default=0)
    account_holder = models.CharField(_("account holder"), max_length=70, blank=True)
    iban = models.CharField("IBAN", max_length=34, blank=True)
    bic = models.CharField("BIC", max_length=11, blank=True)
    account_words = models.TextField(_("how to pay, in words"), max_length=400, blank=True)
    pay_link = models.URLField(_("payment link"), max_length=300, blank=True)
    # A code goes by letter before an answer above this sum; null: never for a sum.
    code_above = models.PositiveIntegerField(_("a code is asked for above"), null=True, blank=True)
    code_for_new_devices = models.BooleanField(_("a code is asked for from a new device"), default=True)

    # When letters go that can wait: together, not at night, not on days off.
    digest_minutes = models.PositiveSmallIntegerField(
        _("minutes in which news becomes one letter"), default=20
    )
    quiet_from = models.TimeField(_("quiet from"), default=time(20, 0))
    quiet_until = models.TimeField(_("quiet until"), default=time(8, 0))
    work_days = models.JSONField(_("working days"), default=monday_to_friday)  # 0 is Monday
    holidays_in = models.CharField(_("public holidays of"), max_length=12, blank=True, default="")
    closed_days = models.JSONField(
        _("days on which the workshop is closed"), default=list, blank=True
    )  # ISO dates
    # What becomes of things that nobody collects, in the workshop's own words; the law of the place goes before them.
    storage_days = models.PositiveSmallIntegerField(_("days a finished item is kept for nothing"), default=60)
    storage_words = models.TextField(_("what happens after that"), max_length=600, blank=True, default="")

    objects = WorkshopManager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(tax_rate_bp__lte=10_000), name="workshop_tax_rate_at_most_100"
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def has_storage_terms(self) -> bool:
        """A number of days alone is none: without words nobody was told what comes after them."""
        return bool(self.storage_words.strip())


class TaxRate(models.Model):
    """A further category and rate of tax beside the usual one of the workshop: a reduced rate, say, or exempt post."""

    name = models.CharField(_("what it is for"), max_length=60)
    category = models.CharField(
        _("category"), max_length=1, choices=TaxCategory, default=TaxCategory.STANDARD
    )
    rate_bp = models.PositiveIntegerField(_("rate in basis points"), default=0)

    class Meta:
        ordering = ["-rate_bp", "category", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["category", "rate_bp"], name="tax_rate_once"),
            models.CheckConstraint(
                condition=models.Q(category="S") | models.Q(rate_bp=0), name="tax_rate_only_standard_has_one"
            ),
            models.CheckConstraint(condition=models.Q(rate_bp__lte=10_000), name="tax_rate_at_most_100"),
        ]

    def __str__(self) -> str:
        return self.name


class WarrantyTerm(models.Model):
    """Months of warranty for a kind of line, a mechanism, or both; the most exact wins (`jobs.warranty_terms.months_for`)."""

    kind = models.CharField(_("kind"), max_length=10, choices=LineKind, blank=True)
    mechanism = models.CharField(_("mechanism"), max_length=13, choices=Mechanism, blank=True)
    months = models.PositiveSmallIntegerField(_("months"))

    class Meta:
        ordering = ["mechanism", "kind"]
        constraints = [models.UniqueConstraint(fields=["kind", "mechanism"], name="warranty_term_once")]

    def __str__(self) -> str:
        return f"{self.kind or '*'} {self.mechanism or '*'}: {self.months}"


class NudgeStep(models.Model):
    """One step of the plan by which something owed is chased. After the last one it is time to ring."""

    about = models.CharField(_("what is owed"), max_length=10, choices=Owes)
    n = models.PositiveSmallIntegerField(_("step"))
    wait = models.PositiveSmallIntegerField(_("working days after the step before"))
    way = models.CharField(_("by"), max_length=8, choices=Way, default=Way.EMAIL)
    tone = models.CharField(_("tone"), max_length=5, choices=Tone, default=Tone.KIND)

    class Meta:
        ordering = ["about", "n"]
        constraints = [
            models.UniqueConstraint(fields=["about", "n"], name="nudge_step_once"),
            models.CheckConstraint(
                condition=models.Q(n__gte=1, wait__gte=1), name="nudge_step_counts_from_one"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.about} {self.n}"
