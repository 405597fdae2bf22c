from django.db import models
from django.utils.translation import gettext_lazy as _


class Paper(models.Model):
    """A document word for word as it was handed out, with the SHA-256 of its bytes: append-only."""

    class Kind(models.TextChoices):
        PAGE = "page", _("The page as it stood when it was answered")
        ANSWER = "answer", _("The quote with its answer")
        WARRANTY = "warranty", _("Warranty")

    job = models.ForeignKey("jobs.Job", on_delete=models.PROTECT, related_name="papers")
    decision = models.ForeignKey(
        "jobs.Decision", on_delete=models.PROTECT, null=True, blank=True, related_name="papers"
    )
    kind = models.CharField(max_length=8, choices=Kind)
    sha256 = models.CharField(max_length=64, db_index=True)
    body = models.BinaryField()
    made_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["decision", "kind"], name="paper_one_per_decision_and_kind"),
        ]

    def __str__(self) -> str:
        return f"{self.job_id} {self.kind} {self.sha256[:8]}"


class Code(models.Model):
    """Six digits that go by letter before a quote is answered. Only a salted hash is kept; a code opens one quote on one device.

    The digits are drawn when the letter is handed to the mail server, so no copy of the database or of a letter holds them.
    """

    quote = models.ForeignKey("jobs.Quote", on_delete=models.CASCADE, related_name="codes")
    device = models.CharField(max_length=36)
    asked_at = models.DateTimeField()
    salt = models.CharField(max_length=43, blank=True)
    code_hash = models.CharField(max_length=64, blank=True)
    expires_at = models.DateTimeField(null=True, blank=True)
    tries = models.PositiveSmallIntegerField(default=0)
    used_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        indexes = [models.Index(fields=["quote", "device"], name="code_by_device")]

    def __str__(self) -> str:
        return f"{self.quote_id} {self.device[:8]}"
