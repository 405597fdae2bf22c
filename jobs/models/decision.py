from django.db import models
from django.utils.translation import gettext_lazy as _

from jobs.models.quote import Line, Quote


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
    # With try-first lines or "up to" prices it may end elsewhere: the least and the most of what was agreed, and their ceiling.
    lowest = models.BigIntegerField(null=True)
    highest = models.BigIntegerField(null=True)
    ceiling = models.BigIntegerField(null=True, blank=True)
    # Canonical JSON of everything that was noted of this answer (`jobs.actions.recording`), and its SHA-256.
    record = models.TextField(blank=True)
    record_hash = models.CharField(max_length=64, blank=True)

    def __str__(self) -> str:
        return f"{self.quote_id} {self.name}"

    @property
    def agreed_anything(self) -> bool:
        """Whether work or a part was said yes to; a branch of a try-first line alone is none."""
        return any(
            choice.yes and not choice.line.is_fixed and choice.line.outcome_id is None
            for choice in self.choices.all()
        )


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
    # Hashed with the address and the agent in the evidence: without it nobody can find them out by trying.
    salt = models.CharField(max_length=43, blank=True)
    erase_after = models.DateField()

    def __str__(self) -> str:
        return f"{self.decision_id}"
