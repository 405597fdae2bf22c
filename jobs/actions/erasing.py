"""What must be erased in time, erased: the evidence holds a salted hash of it, and stays whole."""

from datetime import date

from django.utils import timezone

from jobs.models import Trace


def erase_traces(today: date | None = None) -> int:
    """Blank from where answers came (address, browser, link) and the salt, once their day has passed. Returns how many.

    Without the salt nobody can find them out again by trying.
    """
    past = Trace.objects.filter(erase_after__lt=today or timezone.localdate())
    blank = past.filter(address="", agent="", salt="", link__isnull=True)
    return past.exclude(pk__in=blank.values("pk")).update(address="", agent="", salt="", link=None)
