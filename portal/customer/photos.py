"""A job's photographs on the customer's pages."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext as _

from jobs.models import Job, Photo
from portal.drawing.pictures import Picture
from portal.pictures import picture


@dataclass
class Album:
    """`shown` are those that may be looked at; `developing` counts those that are not ready; `failed` are the customer's own."""

    shown: list[Photo] = field(default_factory=list)
    developing: int = 0
    failed: list[Photo] = field(default_factory=list)

    def taken_for(self, *purposes: str) -> list[Photo]:
        """Those that belong to no finding, by what they were taken for."""
        return [photo for photo in self.shown if photo.finding_id is None and photo.purpose in purposes]


def read(job: Job) -> Album:
    """All of a job's photographs with their marks, in two queries. What belongs to a finding that was never posted is left out."""
    album = Album()
    unposted = Q(finding__state="draft") | Q(purpose=Photo.Purpose.FINDING, finding__isnull=True)
    for photo in job.photos.exclude(unposted).prefetch_related("marks"):
        if photo.state == Photo.State.READY:
            album.shown.append(photo)
        elif photo.state == Photo.State.PROCESSING:
            album.developing += 1
        elif photo.by_kind == "customer":
            album.failed.append(photo)
    return album


def picture_of(job: Job, photo: Photo, certainty: str = "seen", title: str = "") -> Picture:
    large = reverse("my_photo", args=[job.shown_ref, photo.uid])
    return picture(photo, certainty=certainty, alt=words_for(photo, title), large=large)


def pictures_of(job: Job, photos: Iterable[Photo]) -> list[Picture]:
    return [picture_of(job, photo) for photo in photos]


def words_for(photo: Photo, title: str = "") -> str:
    """What a photograph shows, in words: its caption, else the finding it belongs to, else what it was taken for."""
    if photo.caption or title:
        return photo.caption or _("Photograph: %(title)s") % {"title": title}
    return str(Photo.Purpose(photo.purpose).label)
