from datetime import date

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from jobs.words import FIXED_KINDS, LeftAs, LineKind, Mechanism, Need, TaxCategory, TaxMode


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
    # Asked for when the quote is agreed, before the work; minor units with tax, 0 for none.
    deposit = models.PositiveIntegerField(_("deposit"), default=0)
    # Whether the examination is taken off again when work is agreed.
    credits_assessment = models.BooleanField(_("examination credited"), default=False)
    # What the item will be like if nothing of it is agreed, and a word on it.
    if_declined = models.CharField(_("if declined"), max_length=10, choices=LeftAs, blank=True)
    if_declined_note = models.CharField(max_length=300, blank=True)
    replaces = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="replaced_by"
    )
    # A supplementary quote: what was agreed goes on, only this waits. `work_waits`: the work cannot go on without its answer.
    adds_to = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="added_by"
    )
    work_waits = models.BooleanField(_("the work waits for it"), default=False)
    created_at = models.DateTimeField(default=timezone.now)
    sent_at = models.DateTimeField(null=True, blank=True)
    shown = models.TextField(blank=True)
    shown_hash = models.CharField(max_length=64, blank=True)

    objects = QuoteQuerySet.as_manager()

    class Meta:
        ordering = ["job_id", "n"]
        indexes = [models.Index(fields=["state", "sent_at"], name="quote_by_state")]
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

    @property
    def is_supplementary(self) -> bool:
        return self.adds_to_id is not None


class LineQuerySet(models.QuerySet["Line"]):
    def asked(self) -> "LineQuerySet":
        """Lines that stand by themselves: without those that follow on an outcome."""
        return self.filter(outcome__isnull=True)


class Line(models.Model):
    """One line of a quote. `price` in minor units, with or without tax as the quote's `tax_mode` says.

    Work by time has `minutes` and `per_hour` beside the price they come to. `up_to`: the price is the most it may come to, `least`
    the least. Lines with the same number in `either` are alternatives. A line with an `outcome` follows on that one, if the
    customer agreed it beforehand.
    """

    quote = models.ForeignKey(Quote, on_delete=models.CASCADE, related_name="lines")
    position = models.PositiveSmallIntegerField()
    kind = models.CharField(_("kind"), max_length=10, choices=LineKind, default=LineKind.WORK)
    need = models.CharField(_("need"), max_length=8, choices=Need, default=Need.NEEDED)
    title = models.CharField(_("title"), max_length=140)
    why = models.CharField(_("why"), max_length=400, blank=True)
    price = models.PositiveIntegerField(_("price"))
    months = models.PositiveSmallIntegerField(_("months of warranty"), default=12)
    findings = models.ManyToManyField("jobs.Finding", blank=True, related_name="lines")
    mechanism = models.CharField(_("mechanism"), max_length=13, choices=Mechanism, blank=True)
    tax_category = models.CharField(
        _("tax category"), max_length=1, choices=TaxCategory, default=TaxCategory.STANDARD
    )
    tax_rate_bp = models.PositiveIntegerField(_("tax rate in basis points"), default=0)
    minutes = models.PositiveIntegerField(_("minutes"), null=True, blank=True)
    per_hour = models.PositiveIntegerField(_("price of an hour"), null=True, blank=True)
    up_to = models.BooleanField(_("up to this price"), default=False)
    least = models.PositiveIntegerField(_("at least"), default=0)
    requires = models.ManyToManyField("self", symmetrical=False, blank=True, related_name="required_by")
    either = models.PositiveSmallIntegerField(_("one of these"), null=True, blank=True)
    outcome = models.ForeignKey(
        "jobs.Outcome", on_delete=models.CASCADE, null=True, blank=True, related_name="follow_ons"
    )
    # The same line in the quote before: how a revision knows what changed.
    copied_from = models.ForeignKey(
        "self", on_delete=models.SET_NULL, null=True, blank=True, related_name="copies"
    )

    objects = LineQuerySet.as_manager()

    class Meta:
        ordering = ["quote_id", "position", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(least__lte=models.F("price")), name="line_least_at_most"
            ),
        ]

    def __str__(self) -> str:
        return self.title

    @property
    def is_fixed(self) -> bool:
        """Carriage and assessment are not chosen: they come with the job."""
        return self.kind in FIXED_KINDS


class Outcome(models.Model):
    """One way a try-first line may turn out. `weight` is its share of the line's weights; `seen` how often our own bench saw it.

    `key` is "mechanism/entry:outcome" of the findings library, or "" for one written by hand. `stops`: nothing follows; we stop there.
    """

    line = models.ForeignKey(Line, on_delete=models.CASCADE, related_name="outcomes")
    position = models.PositiveSmallIntegerField()
    key = models.CharField(max_length=140, blank=True)
    title = models.CharField(_("how it turns out"), max_length=240)
    weight = models.PositiveIntegerField(_("weight"), default=1)
    seen = models.PositiveIntegerField(default=0)
    stops = models.BooleanField(_("we stop there"), default=False)

    class Meta:
        ordering = ["line_id", "position", "pk"]
        constraints = [
            models.CheckConstraint(condition=models.Q(weight__gte=1), name="outcome_weight_positive")
        ]

    def __str__(self) -> str:
        return self.title


class Tried(models.Model):
    """What came out when a try-first line was tried, and what followed: the branch agreed beforehand, a stop, or nothing more."""

    class Then(models.TextChoices):
        NOTHING = "nothing", _("Nothing more to do")
        GOES_ON = "goes_on", _("The branch that was agreed")
        ASKS = "asks", _("We stop and ask")
        ENDS = "ends", _("We stop there")

    line = models.OneToOneField(Line, on_delete=models.PROTECT, related_name="tried")
    outcome = models.ForeignKey(Outcome, on_delete=models.PROTECT, related_name="results")
    then = models.CharField(max_length=7, choices=Then)
    follow_on = models.ForeignKey(
        Line, on_delete=models.PROTECT, null=True, blank=True, related_name="followed"
    )
    over_ceiling = models.BooleanField(default=False)
    note = models.CharField(max_length=300, blank=True)
    at = models.DateTimeField()
    by = models.CharField(max_length=120)

    class Meta:
        verbose_name_plural = "tried"

    def __str__(self) -> str:
        return f"{self.line_id}: {self.outcome_id}"


class FinalPrice(models.Model):
    """What an "up to" line came to in the end, in minor units: never more than was agreed."""

    line = models.OneToOneField(Line, on_delete=models.PROTECT, related_name="final_price")
    price = models.PositiveIntegerField()
    note = models.CharField(max_length=300, blank=True)
    at = models.DateTimeField()
    by = models.CharField(max_length=120)

    def __str__(self) -> str:
        return f"{self.line_id}: {self.price}"
