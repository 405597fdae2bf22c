from datetime import datetime, timedelta

from django.db import IntegrityError, models, transaction
from django.db.models.functions import Greatest
from django.utils import timezone


class SweepLeaseManager(models.Manager["SweepLease"]):
    def take(self, name: str, lasts: timedelta) -> bool:
        """Take the turn of a sweep. Of two beats that ask in the same moment, one gets it; a crashed one's turn runs out."""
        now = timezone.now()
        if self.filter(name=name, until__lt=now).update(until=now + lasts):
            return True
        return self._first(name, now + lasts)

    def hold(self, name: str, until: datetime) -> None:
        """Set how long something lasts, whoever set it before; a later end stays."""
        if not self.filter(name=name).update(until=Greatest("until", until)):
            self._first(name, until)

    def _first(self, name: str, until: datetime) -> bool:
        try:
            with transaction.atomic():
                self.create(name=name, until=until)
        except IntegrityError:
            return False
        return True


class SweepLease(models.Model):
    """Until when a sweep is taken, so that two beats do the work once; or until when a way to people rests ("rest-email")."""

    name = models.CharField(max_length=40, primary_key=True)
    until = models.DateTimeField()

    objects = SweepLeaseManager()

    def __str__(self) -> str:
        return f"{self.name} until {self.until:%H:%M:%S}"
