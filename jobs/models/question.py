from django.db import models
from django.utils.translation import gettext_lazy as _


class QuestionQuerySet(models.QuerySet["Question"]):
    def unanswered(self) -> "QuestionQuerySet":
        return self.filter(answered_at__isnull=True)


class Question(models.Model):
    """Something the customer asked, about a finding, a line of the quote, or the job, and what we answered."""

    job = models.ForeignKey("jobs.Job", on_delete=models.PROTECT, related_name="questions")
    finding = models.ForeignKey(
        "jobs.Finding", on_delete=models.PROTECT, null=True, blank=True, related_name="questions"
    )
    line = models.ForeignKey(
        "jobs.Line", on_delete=models.PROTECT, null=True, blank=True, related_name="questions"
    )
    text = models.TextField(_("question"), max_length=2000)
    asked_at = models.DateTimeField()
    # Hidden in the form, so that a double tap asks once.
    once = models.CharField(max_length=36, unique=True)
    answer = models.TextField(_("answer"), max_length=4000, blank=True)
    answered_at = models.DateTimeField(null=True, blank=True)
    answered_by = models.CharField(max_length=120, blank=True)

    objects = QuestionQuerySet.as_manager()

    class Meta:
        ordering = ["asked_at", "pk"]

    def __str__(self) -> str:
        return self.text[:60]

    @property
    def about(self) -> str:
        """The finding or line it is about, or nothing."""
        return str(self.finding or self.line or "")
