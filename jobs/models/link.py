from datetime import datetime
from functools import cache

from django.db import models
from django.db.models import Count, OuterRef, Q, Subquery
from django.db.models.functions import Coalesce
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from jobs.models.photo import Photo


class PrivateLinkQuerySet(models.QuerySet["PrivateLink"]):
    def live(self, now: datetime | None = None) -> "PrivateLinkQuerySet":
        return self.filter(revoked_at__isnull=True, expires_at__gt=now or timezone.now())

    def with_job(self) -> "PrivateLinkQuerySet":
        """The job and its people, and as `photos_ready` how many of its photographs they may see.

        With `job.last_seq` that is all a page must know to see whether there is news, in the one query that lets a visitor in.
        """
        return self.select_related("job__item", "job__customer").annotate(photos_ready=_photos_ready())


@cache
def _photos_ready() -> Coalesce:
    """Put together once: it is the same for every link, and asked for with every page of a customer."""
    ready = Photo.objects.for_the_customer().filter(job=OuterRef("job")).order_by().values("job")
    counted = Subquery(ready.annotate(n=Count("pk")).values("n"), output_field=models.IntegerField())
    return Coalesce(counted, 0)


class PrivateLink(models.Model):
    """A customer's way in to one job, without a password. Only the SHA-256 of its 256-bit key is stored."""

    job = models.ForeignKey("jobs.Job", on_delete=models.CASCADE, related_name="links")
    key_hash = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField(default=timezone.now)
    made_for = models.CharField(_("address it was sent to"), max_length=254, blank=True)
    expires_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True, blank=True)

    objects = PrivateLinkQuerySet.as_manager()

    class Meta:
        indexes = [
            models.Index(fields=["job", "expires_at"], condition=Q(revoked_at__isnull=True), name="link_live")
        ]

    def __str__(self) -> str:
        return f"{self.job_id} until {self.expires_at:%Y-%m-%d}"


class Opening(models.Model):
    """A device that came in by a link: `device` is a random cookie, so that we can say "opened on two devices"."""

    link = models.ForeignKey(PrivateLink, on_delete=models.CASCADE, related_name="openings")
    device = models.CharField(max_length=36)
    first_at = models.DateTimeField()
    last_at = models.DateTimeField()
    # Typed a code that went to the customer's own address: this device is theirs.
    confirmed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["link", "device"], name="opening_one_per_device")]

    def __str__(self) -> str:
        return f"{self.link_id} {self.device[:8]}"
