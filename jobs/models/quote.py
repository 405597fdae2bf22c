from datetime import date

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from jobs.words import LineKind, Need, TaxMode


class QuoteQuerySet(models.QuerySet["Quote"]):
    def open(self) -> "QuoteQuerySet":
        return self.filter(state=Quote.State.OPEN)

    def past_validity(self, today: date) -> "QuoteQuerySet":
        return self.open().filter(valid_until__lt=today)


class Quote(models.Model):
    """One offer, numbered within its job. Once sent its lines never change: a change is a new quote.

    Prices are minor units of `currency`. `shown` is the canonical JSON of exactly what the customer is shown, `shown_hash` its
    SHA-256; both are set when the quote is sent.
    """

    class State(models.TextChoices):
        DRAFT = "draft", _("Being written")
        OPEN = "open", _("Waits for an answer")
        ANSWERED = "answered", _("Answered")
        REPLACED = "replaced", _("Replaced")
        LAPSED = "lapsed", _("Lapsed")

    job = models.ForeignKey("jobs.Job", on_delete=models.PROTECT, related_name="quotes")
    n = models.PositiveSmallIntegerField()
    state = models.CharField(max_length=8, choices=State, default=State.DRAFT)
    currency = models.CharField(max_length=3)
    tax_mode = models.CharField(max_length=10, choices=TaxMode)
    tax_name = models.CharField(max_length=20, blank=True)
    tax_rate_bp = models.PositiveIntegerField(default=0)
    note = models.TextField(_("a word to the customer"), max_length=1000, blank=True)
    valid_until = models.DateField(_("good until"), null=True, blank=True)
    created_at = models.DateTimeField(default=timezone.now)
    sent_at = models.DateTimeField(null=True, blank=True)
    shown = models.TextField(blank=True)
    shown_hash = models.CharField(max_length=64, blank=True)

    objects = QuoteQuerySet.as_manager()

    class Meta:
        ordering = ["job_id", "n"]
        constraints = [
            models.UniqueConstraint(fields=["job", "n"], name="quote_one_per_number"),
            models.UniqueConstraint(
                fields=["job"], condition=models.Q(state="open"), name="quote_one_open_per_job"
            ),
            models.UniqueConstraint(
                fields=["job"], condition=models.Q(state="draft"), name="quote_one_draft_per_job"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.job_id}/{self.n}"


class Line(models.Model):
    """One line of a quote. `price` in minor units, with or without tax as the quote's `tax_mode` says."""

    quote = models.ForeignKey(Quote, on_delete=models.CASCADE, related_name="lines")
    position = models.PositiveSmallIntegerField()
    kind = models.CharField(_("kind"), max_length=10, choices=LineKind, default=LineKind.WORK)
    need = models.CharField(_("need"), max_length=8, choices=Need, default=Need.NEEDED)
    title = models.CharField(_("title"), max_length=140)
    why = models.CharField(_("why"), max_length=400, blank=True)
    price = models.PositiveIntegerField(_("price"))
    months = models.PositiveSmallIntegerField(_("months of warranty"), default=12)
    findings = models.ManyToManyField("jobs.Finding", blank=True, related_name="lines")

    class Meta:
        ordering = ["quote_id", "position", "pk"]

    def __str__(self) -> str:
        return self.title

    @property
    def is_fixed(self) -> bool:
        """Carriage and assessment are not chosen: they come with the job."""
        return self.kind in (LineKind.CARRIAGE, LineKind.ASSESSMENT)


class Decision(models.Model):
    """What the customer answered to one quote, once. Append-only: triggers refuse UPDATE and DELETE.

    `shown` and `shown_hash` are those of the quote as it was on their screen. Sums in minor units.
    """

    class Way(models.TextChoices):
        PAGE = "page", _("On the page")
        TELEPHONE = "telephone", _("By telephone, noted by us")

    quote = models.OneToOneField(Quote, on_delete=models.PROTECT, related_name="decision")
    at = models.DateTimeField()
    way = models.CharField(max_length=9, choices=Way, default=Way.PAGE)
    name = models.CharField(_("name as typed"), max_length=120)
    noted_by = models.CharField(max_length=120, blank=True)
    sentence = models.TextField(_("the sentence agreed to"))
    shown_hash = models.CharField(max_length=64)
    shown = models.TextField()
    net = models.BigIntegerField()
    tax = models.BigIntegerField()
    gross = models.BigIntegerField()

    def __str__(self) -> str:
        return f"{self.quote_id} {self.name}"

    @property
    def agreed_anything(self) -> bool:
        return any(choice.yes and not choice.line.is_fixed for choice in self.choices.all())


class Choice(models.Model):
    """Yes or no to one line."""

    decision = models.ForeignKey(Decision, on_delete=models.PROTECT, related_name="choices")
    line = models.OneToOneField(Line, on_delete=models.PROTECT, related_name="choice")
    yes = models.BooleanField()

    def __str__(self) -> str:
        return f"{self.line_id} {'yes' if self.yes else 'no'}"


class Trace(models.Model):
    """From where an answer came. Kept apart from the evidence, because it must be erased in time without breaking the chain."""

    decision = models.OneToOneField(Decision, on_delete=models.PROTECT, related_name="trace")
    address = models.CharField(max_length=45, blank=True)
    agent = models.CharField(max_length=400, blank=True)
    link = models.ForeignKey("jobs.PrivateLink", on_delete=models.SET_NULL, null=True, blank=True)
    erase_after = models.DateField()

    def __str__(self) -> str:
        return f"{self.decision_id}"
