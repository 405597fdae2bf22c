from django.db import models
from django.utils.translation import gettext_lazy as _


class OwnWords(models.Model):
    """A paragraph of the owner's own in every letter of a kind, in one language."""

    kind = models.CharField(_("kind"), max_length=20)  # a folder of templates/letters
    language = models.CharField(_("language"), max_length=12)
    text = models.TextField(_("your own paragraph"), max_length=1000)

    class Meta:
        verbose_name_plural = "own words"
        constraints = [models.UniqueConstraint(fields=["kind", "language"], name="own_words_once")]

    def __str__(self) -> str:
        return f"{self.kind} ({self.language})"
