from django.db import models
from django.utils.translation import gettext_lazy as _


class AwaitedPart(models.Model):
    """A part that the work waits for."""

    job = models.ForeignKey("jobs.Job", on_delete=models.PROTECT, related_name="awaited_parts")
    what = models.CharField(_("part"), max_length=120)
    supplier = models.CharField(_("from whom"), max_length=120, blank=True)
    ordered_at = models.DateTimeField()
    expected_on = models.DateField(_("expected on"), null=True, blank=True)
    came_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["ordered_at", "pk"]

    def __str__(self) -> str:
        return self.what
