from django.db import models
from django.utils.translation import gettext_lazy as _


class Proof(models.Model):
    """One test after the work: what was tried, and whether we are content."""

    class Test(models.TextChoices):
        TRANSPORT = "transport", _("Film transport")
        TIMES = "times", _("Shutter times")
        FOCUS = "focus", _("Focus")
        LIGHT = "light", _("Light-tightness")
        METER = "meter", _("Meter")

    job = models.ForeignKey("jobs.Job", on_delete=models.PROTECT, related_name="proofs")
    test = models.CharField(max_length=9, choices=Test)
    content = models.BooleanField(_("content"))
    note = models.CharField(_("what we saw"), max_length=300, blank=True)
    at = models.DateTimeField()
    by = models.CharField(max_length=120)

    class Meta:
        ordering = ["at", "pk"]

    def __str__(self) -> str:
        return f"{self.job_id} {self.test}"


class ShutterTime(models.Model):
    """One measured shutter time in microseconds, before or after the work. `mark` is a key of `jobs.shutter`."""

    job = models.ForeignKey("jobs.Job", on_delete=models.PROTECT, related_name="shutter_times")
    after_work = models.BooleanField()
    mark = models.CharField(max_length=6)
    measured_us = models.PositiveIntegerField()
    at = models.DateTimeField()

    class Meta:
        ordering = ["after_work", "-measured_us"]
        constraints = [
            models.UniqueConstraint(fields=["job", "after_work", "mark"], name="shutter_time_one_per_mark"),
            models.CheckConstraint(condition=models.Q(measured_us__gt=0), name="shutter_time_positive"),
        ]

    def __str__(self) -> str:
        return f"{self.mark}: {self.measured_us} us"
