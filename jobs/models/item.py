from django.db import models
from django.utils.translation import gettext_lazy as _


class Item(models.Model):
    """The camera or part that a job is about."""

    owner = models.ForeignKey("jobs.Customer", on_delete=models.PROTECT, related_name="items")
    maker = models.CharField(_("maker"), max_length=60)
    model = models.CharField(_("model"), max_length=80, blank=True)
    serial = models.CharField(_("serial number"), max_length=40, blank=True)
    traits = models.JSONField(_("traits"), default=list, blank=True)  # list of jobs.words.Trait values

    def __str__(self) -> str:
        return self.name

    @property
    def name(self) -> str:
        return f"{self.maker} {self.model}".strip()
