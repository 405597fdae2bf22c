import uuid

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _


class PhotoQuerySet(models.QuerySet["Photo"]):
    def ready(self) -> "PhotoQuerySet":
        return self.filter(state=Photo.State.READY)

    def waiting(self) -> "PhotoQuerySet":
        return self.filter(state=Photo.State.PROCESSING)

    def for_the_customer(self) -> "PhotoQuerySet":
        """Ready photographs that the customer may see: not those of a finding that was never posted, nor taken for none yet."""
        return self.ready().exclude(finding__state="draft").exclude(purpose="finding", finding__isnull=True)


class Photo(models.Model):
    """One photograph, private to its job. Only re-encoded sizes are ever served; metadata is gone.

    `sizes` maps a width in pixels to the stored file: {"400": "ab/abcd....jpg", ...}. `basket` groups photographs that were
    uploaded before their job existed (a booking form that came back with an error).
    """

    class State(models.TextChoices):
        PROCESSING = "processing", _("Being developed")
        READY = "ready", _("Ready")
        FAILED = "failed", _("Could not be read")

    class Purpose(models.TextChoices):
        STORY = "story", _("From the customer")
        ARRIVAL = "arrival", _("As it arrived")
        FINDING = "finding", _("A finding")
        RESULT = "result", _("After the work")

    uid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    job = models.ForeignKey(
        "jobs.Job", on_delete=models.PROTECT, null=True, blank=True, related_name="photos"
    )
    basket = models.UUIDField(null=True, blank=True, db_index=True)
    finding = models.ForeignKey(
        "jobs.Finding", on_delete=models.SET_NULL, null=True, blank=True, related_name="photos"
    )
    purpose = models.CharField(max_length=8, choices=Purpose)
    caption = models.CharField(_("caption"), max_length=200, blank=True)
    file_name = models.CharField(_("name of the file as sent"), max_length=120, blank=True)
    incoming = models.CharField(max_length=80, blank=True)  # path below MEDIA_ROOT until developed
    state = models.CharField(max_length=10, choices=State, default=State.PROCESSING)
    problem = models.CharField(max_length=200, blank=True)
    attempts = models.PositiveSmallIntegerField(default=0)
    lease_until = models.DateTimeField(null=True, blank=True)
    width = models.PositiveIntegerField(default=0)
    height = models.PositiveIntegerField(default=0)
    sizes = models.JSONField(default=dict, blank=True)
    by_kind = models.CharField(max_length=8, default="staff")
    added_at = models.DateTimeField(default=timezone.now)

    objects = PhotoQuerySet.as_manager()

    class Meta:
        ordering = ["added_at", "pk"]
        indexes = [models.Index(fields=["state", "added_at"], name="photo_by_state")]

    def __str__(self) -> str:
        return self.caption or self.file_name or str(self.uid)

    @property
    def is_unposted(self) -> bool:
        """Taken for a finding that the customer cannot see yet, or for none yet."""
        return self.purpose == self.Purpose.FINDING and (
            self.finding is None or self.finding.state == "draft"
        )


class Mark(models.Model):
    """A numbered ring on a photograph. `x`, `y`, `r` in per mille of the picture's width and height (r of its width)."""

    photo = models.ForeignKey(Photo, on_delete=models.CASCADE, related_name="marks")
    n = models.PositiveSmallIntegerField()
    x = models.PositiveSmallIntegerField()
    y = models.PositiveSmallIntegerField()
    r = models.PositiveSmallIntegerField(default=62)

    class Meta:
        ordering = ["n"]
        constraints = [
            models.UniqueConstraint(fields=["photo", "n"], name="mark_one_per_number"),
            models.CheckConstraint(
                condition=models.Q(x__lte=1000, y__lte=1000, r__lte=500, n__gte=1),
                name="mark_inside_the_picture",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.photo_id}#{self.n}"
