from django.db import models


class SettledAtHome(models.Model):
    """Somebody was about to book, looked first, and nothing had to be sent. Counted without anything about the person.

    `kind` is the kind of camera as the booking form names it.
    """

    # "mechanism/slug": the explanation whose check it was.
    key = models.CharField(max_length=80)
    day = models.DateField()
    kind = models.CharField(max_length=20, blank=True)

    class Meta:
        verbose_name_plural = "settled at home"
        indexes = [models.Index(fields=["key", "day"])]

    def __str__(self) -> str:
        return f"{self.key} on {self.day}"
