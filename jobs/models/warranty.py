from datetime import date

from django.db import models
from django.utils.translation import gettext_lazy as _

from jobs.warranty_terms import days_left
from jobs.words import FailedAgain, Judgement, Mechanism


class Warranty(models.Model):
    """What we stand by after a job. Starts on the day the item was back with its owner."""

    job = models.OneToOneField("jobs.Job", on_delete=models.PROTECT, related_name="warranty")
    starts_on = models.DateField()
    created_at = models.DateTimeField()
    # They asked for a letter before the end; when it went.
    wants_reminder = models.BooleanField(_("wants a letter before it ends"), default=False)
    reminded_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        verbose_name_plural = "warranties"

    def __str__(self) -> str:
        return f"{self.job_id} from {self.starts_on}"


class Cover(models.Model):
    """One thing covered (`until`, that day included), or named as not covered (`until` is null, `why_not` says why)."""

    warranty = models.ForeignKey(Warranty, on_delete=models.PROTECT, related_name="covers")
    line = models.ForeignKey(
        "jobs.Line", on_delete=models.PROTECT, null=True, blank=True, related_name="covers"
    )
    what = models.CharField(_("what"), max_length=140)
    mechanism = models.CharField(_("mechanism"), max_length=13, choices=Mechanism, blank=True)
    months = models.PositiveSmallIntegerField(default=0)
    until = models.DateField(null=True, blank=True)
    why_not = models.CharField(_("why not"), max_length=300, blank=True)
    # Which fault it is about (key into the library) where no line says so: what was told and left.
    explanation = models.CharField(max_length=80, blank=True)
    # Mended again under warranty: the cover that this one goes on from.
    goes_on_from = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="goes_on_as"
    )

    class Meta:
        ordering = ["warranty_id", "pk"]

    def __str__(self) -> str:
        return self.what

    def as_it_stands(self) -> "Cover":
        """The cover that goes on from this one, however often it was mended again; itself where none does."""
        newest = max(self.goes_on_as.all(), key=lambda each: each.pk, default=None)
        return newest.as_it_stands() if newest else self

    def days_left(self, today: date) -> int:
        return days_left(self.until, today) if self.until else 0


class Judged(models.Model):
    """What the workshop decided about a claim after it had looked, and whether the same mechanism failed again."""

    job = models.OneToOneField("jobs.Job", on_delete=models.PROTECT, related_name="judged")
    judgement = models.CharField(max_length=11, choices=Judgement)
    again = models.CharField(_("the same again?"), max_length=7, choices=FailedAgain)
    cover = models.ForeignKey(Cover, on_delete=models.PROTECT, null=True, blank=True, related_name="judged")
    because = models.CharField(_("why"), max_length=600)
    at = models.DateTimeField()
    by = models.CharField(max_length=120)

    class Meta:
        verbose_name_plural = "judged"

    def __str__(self) -> str:
        return f"{self.job_id}: {self.judgement}"

    @property
    def is_done_free(self) -> bool:
        return self.judgement in (Judgement.COVERED, Judgement.GOODWILL)
