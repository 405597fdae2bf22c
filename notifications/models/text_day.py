from datetime import date

from django.db import models
from django.db.models import F


class TextDayManager(models.Manager["TextDay"]):
    def take(self, day: date, most: int) -> bool:
        """Count one more text message of a day, if there is room for it. Of many at once exactly `most` get through."""
        self.get_or_create(day=day)
        return bool(self.filter(day=day, n__lt=most).update(n=F("n") + 1))

    def give_back(self, day: date) -> None:
        """One that was counted did not leave the house."""
        self.filter(day=day, n__gt=0).update(n=F("n") - 1)


class TextDay(models.Model):
    """How many text messages left the house on a day: they cost money, so there is a most."""

    day = models.DateField(primary_key=True)
    n = models.PositiveIntegerField(default=0)

    objects = TextDayManager()

    def __str__(self) -> str:
        return f"{self.day}: {self.n}"
