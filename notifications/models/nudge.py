from django.db import models

from jobs.words import Owes, Tone


class Nudge(models.Model):
    """One reminder of one thing owed. The unique key is what makes a step happen once, whoever asks for it.

    `thing` names what is owed for as long as it is owed: "quote-12", "enquiry-5", "payment-2" (the entry of the journal since which
    it is due), "collection-9".
    """

    job = models.ForeignKey("jobs.Job", on_delete=models.CASCADE, related_name="nudges")
    about = models.CharField(max_length=10, choices=Owes, default=Owes.QUOTE)
    thing = models.CharField(max_length=40)
    step = models.PositiveSmallIntegerField()
    tone = models.CharField(max_length=5, choices=Tone, default=Tone.KIND)
    at = models.DateTimeField()

    class Meta:
        ordering = ["thing", "step"]
        constraints = [models.UniqueConstraint(fields=["thing", "step"], name="nudge_once_per_step")]

    def __str__(self) -> str:
        return f"{self.thing}/{self.step}"
