"""A look from outside settled it: nothing is booked, nothing is kept but the count."""

from django.utils import timezone

from jobs.models import SettledAtHome


def settle_at_home(key: str, kind: str) -> SettledAtHome:
    """Count one camera that stayed at home: by which explanation ("mechanism/slug"), and what kind of camera it is."""
    return SettledAtHome.objects.create(key=key, day=timezone.localdate(), kind=kind)
