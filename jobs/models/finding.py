from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from jobs.words import Bearing, Certainty, Effect, Mechanism

# Worst first: what stops it comes first.
EFFECT_ORDER = [effect.value for effect in Effect]


class FindingQuerySet(models.QuerySet["Finding"]):
    def posted(self) -> "FindingQuerySet":
        """What the customer may read: posted ones, and withdrawn ones that say so."""
        return self.exclude(state=Finding.State.DRAFT)

    def standing(self) -> "FindingQuerySet":
        return self.filter(state=Finding.State.POSTED)

    def worst_first(self) -> "FindingQuerySet":
        order = models.Case(
            *(models.When(effect=value, then=n) for n, value in enumerate(EFFECT_ORDER)), default=9
        )
        return self.order_by(order, "pk")


class Finding(models.Model):
    """One thing that the bench knows, as it stands now. What was shown at each time is kept in `Wording`."""

    class State(models.TextChoices):
        DRAFT = "draft", _("Kept for later")
        POSTED = "posted", _("Posted")
        WITHDRAWN = "withdrawn", _("Withdrawn")

    job = models.ForeignKey("jobs.Job", on_delete=models.PROTECT, related_name="findings")
    state = models.CharField(max_length=9, choices=State, default=State.DRAFT)
    mechanism = models.CharField(_("mechanism"), max_length=13, choices=Mechanism)
    certainty = models.CharField(_("how sure"), max_length=9, choices=Certainty)
    bearing = models.CharField(_("the story"), max_length=9, choices=Bearing)
    effect = models.CharField(_("what it does"), max_length=8, choices=Effect)
    title = models.CharField(_("title"), max_length=140)
    text = models.TextField(_("what we found"), max_length=4000, blank=True)
    # Key into the library ("lens/haze"), and this camera's facts for it. Empty: written by hand.
    explanation = models.CharField(max_length=80, blank=True)
    facts = models.JSONField(default=dict, blank=True)
    # The filled explanation as the customer reads it (`Shown.as_dict`), so that a later edit of the library changes nothing.
    shown = models.JSONField(default=dict, blank=True)
    withdrawn_because = models.CharField(max_length=400, blank=True)
    created_at = models.DateTimeField(default=timezone.now)
    posted_at = models.DateTimeField(null=True, blank=True)

    objects = FindingQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return self.title

    @property
    def is_corrected(self) -> bool:
        return len(self.wordings.all()) > 1


class Wording(models.Model):
    """What a finding said from `at` on, word for word. Never changed; a correction adds one."""

    finding = models.ForeignKey(Finding, on_delete=models.PROTECT, related_name="wordings")
    n = models.PositiveSmallIntegerField()
    at = models.DateTimeField()
    by = models.CharField(max_length=120)
    because = models.CharField(_("why it was corrected"), max_length=400, blank=True)
    # title, text, certainty, bearing, effect, mechanism, explanation, facts, shown
    content = models.JSONField()
    digest = models.CharField(max_length=64)

    class Meta:
        ordering = ["finding_id", "n"]
        constraints = [models.UniqueConstraint(fields=["finding", "n"], name="wording_one_per_number")]

    def __str__(self) -> str:
        return f"{self.finding_id}.{self.n}"
