from django.db import models
from django.utils.translation import gettext_lazy as _


class ExplanationVersion(models.Model):
    """The workshop's own version of an explanation, or of one that the house did not ship. Append-only, by trigger too.

    The newest row that is not a draft says what is in use: its own text, or with SHIPPED the text that came with the house
    (nothing at all for a key of the workshop's own). `jobs.collection` puts the two together.
    """

    class State(models.TextChoices):
        DRAFT = "draft", _("Draft")
        IN_USE = "in_use", _("Put in use")
        SHIPPED = "shipped", _("Back to the shipped text")

    # "mechanism/slug", as in the library's folder.
    key = models.CharField(max_length=80)
    # 1, 2, 3 ... of this key.
    n = models.PositiveIntegerField()
    # The whole of the file, front matter between `+++` lines and body. With SHIPPED, the shipped text of that day, if any.
    text = models.TextField(max_length=60000, blank=True)
    state = models.CharField(max_length=7, choices=State)
    by = models.CharField(max_length=120)
    at = models.DateTimeField()
    note = models.CharField(_("what changed"), max_length=400, blank=True)

    class Meta:
        ordering = ["key", "n"]
        constraints = [models.UniqueConstraint(fields=["key", "n"], name="version_one_per_number")]

    def __str__(self) -> str:
        return f"{self.key} {self.n}"
