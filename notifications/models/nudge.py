from django.db import models


class Nudge(models.Model):
    """One reminder of one quote. The unique key is what makes a step happen once, whoever asks for it."""

    quote = models.ForeignKey("jobs.Quote", on_delete=models.CASCADE, related_name="nudges")
    step = models.PositiveSmallIntegerField()
    at = models.DateTimeField()

    class Meta:
        ordering = ["quote_id", "step"]
        constraints = [models.UniqueConstraint(fields=["quote", "step"], name="nudge_once_per_step")]

    def __str__(self) -> str:
        return f"{self.quote_id}/{self.step}"
