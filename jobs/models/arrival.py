from django.db import models
from django.utils.translation import gettext_lazy as _


class Arrival(models.Model):
    """What came out of the parcel, and in what state."""

    job = models.OneToOneField("jobs.Job", on_delete=models.PROTECT, related_name="arrival")
    at = models.DateTimeField()
    by = models.CharField(max_length=120)
    body = models.BooleanField(_("body"), default=True)
    lens = models.BooleanField(_("lens"), default=False)
    caps = models.BooleanField(_("caps"), default=False)
    case = models.BooleanField(_("case"), default=False)
    loose_parts = models.PositiveSmallIntegerField(_("loose parts, how many"), default=0)
    condition = models.TextField(_("condition"), max_length=1000, blank=True)

    def __str__(self) -> str:
        return f"{self.job_id}"
