from django.db import models
from django.utils.translation import gettext_lazy as _


class EnquiryQuerySet(models.QuerySet["Enquiry"]):
    def open(self) -> "EnquiryQuerySet":
        """Neither answered nor taken back."""
        return self.filter(answered_at__isnull=True, dropped_at__isnull=True)


class Enquiry(models.Model):
    """Something that we ask the customer, and what they answered. (What they ask us is a `Question`.)"""

    job = models.ForeignKey("jobs.Job", on_delete=models.PROTECT, related_name="enquiries")
    finding = models.ForeignKey(
        "jobs.Finding", on_delete=models.PROTECT, null=True, blank=True, related_name="enquiries"
    )
    text = models.TextField(_("our question"), max_length=2000)
    # Nothing goes on until they answer: it is their move meanwhile.
    work_waits = models.BooleanField(_("the work waits for the answer"), default=False)
    asked_at = models.DateTimeField()
    asked_by = models.CharField(max_length=120)
    # Hidden in the form, so that a double tap asks once.
    once = models.CharField(max_length=36, unique=True)
    answer = models.TextField(_("their answer"), max_length=4000, blank=True)
    answered_at = models.DateTimeField(null=True, blank=True)
    dropped_at = models.DateTimeField(null=True, blank=True)

    objects = EnquiryQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "enquiries"
        ordering = ["asked_at", "pk"]
        indexes = [models.Index(fields=["answered_at", "dropped_at", "asked_at"], name="enquiry_open")]

    def __str__(self) -> str:
        return self.text[:60]

    @property
    def is_open(self) -> bool:
        return self.answered_at is None and self.dropped_at is None
