"""Photographs: taken in, claimed for developing, marked. Decoding happens in `jobs.darkroom`, never here."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from uuid import UUID

from django.db import transaction
from django.db.models import F, Q
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.actions.moving import changing
from jobs.actions.refusals import Refused
from jobs.darkroom import store
from jobs.models import Finding, Job, Mark, Photo

MAX_MARKS = 4
MAX_ATTEMPTS = 3
LEASE = timedelta(seconds=90)
PHOTOS_PER_JOB = 200


@dataclass(frozen=True)
class Ring:
    """Where a numbered mark sits: per mille of the picture's width and height."""

    n: int
    x: int
    y: int
    r: int = 62


def add_photo(
    incoming: str,
    purpose: str,
    *,
    job: Job | None = None,
    basket: UUID | None = None,
    finding: Finding | None = None,
    caption: str = "",
    file_name: str = "",
    by_kind: str = "staff",
) -> Photo:
    """Note a file that lies in the incoming folder and waits for the darkroom. Either `job` or `basket` says whose it is."""
    if job and job.photos.count() >= PHOTOS_PER_JOB:
        raise Refused(
            _("This job has %(n)s photographs already. That is as many as we keep.") % {"n": PHOTOS_PER_JOB}
        )
    return Photo.objects.create(
        incoming=incoming,
        purpose=purpose,
        job=job,
        basket=basket,
        finding=finding,
        caption=caption,
        file_name=file_name[-120:],
        by_kind=by_kind,
    )


def throw_away(photo: Photo) -> None:
    """Delete a photograph that never came to a job, and its files unless another photograph has the same content. Raises Refused."""
    if photo.job_id is not None:
        raise Refused(_("That photograph belongs to a job. It stays there."))
    names = [photo.incoming, *photo.sizes.values()]
    widths = list(photo.sizes)
    photo.delete()
    for name in names:
        if not any(Photo.objects.filter(**{f"sizes__{width}": name}).exists() for width in widths):
            store.forget(name)


def claim_photo(photo_id: int) -> Photo | None:
    """Take a photograph for developing. Conditional: of two workers that try at once, one gets it; a crashed one's lease runs out."""
    now = timezone.now()
    free = Photo.objects.waiting().filter(Q(lease_until__isnull=True) | Q(lease_until__lt=now), pk=photo_id)
    if not free.update(lease_until=now + LEASE, attempts=F("attempts") + 1):
        return None
    return Photo.objects.get(pk=photo_id)


def photo_is_ready(photo: Photo, *, width: int, height: int, sizes: dict[str, str]) -> None:
    Photo.objects.filter(pk=photo.pk, state=Photo.State.PROCESSING).update(
        state=Photo.State.READY,
        width=width,
        height=height,
        sizes=sizes,
        incoming="",
        lease_until=None,
        problem="",
    )


def photo_failed(photo: Photo, problem: str) -> None:
    """It cannot be read; the sentence is shown to whoever sent it."""
    Photo.objects.filter(pk=photo.pk, state=Photo.State.PROCESSING).update(
        state=Photo.State.FAILED, problem=problem[:200], lease_until=None
    )


def describe_photo(photo: Photo, *, caption: str, finding: Finding | None, rings: Sequence[Ring]) -> None:
    """Set caption, finding and marks together. Raises Refused for more than four marks or one outside the picture."""
    if len(rings) > MAX_MARKS:
        raise Refused(_("At most four marks on one photograph: more cannot be read."), "marks")
    if any(not (0 <= ring.x <= 1000 and 0 <= ring.y <= 1000) for ring in rings):
        raise Refused(_("A mark lies outside the photograph."), "marks")
    if photo.job is None or (finding and finding.job_id != photo.job_id):
        raise Refused(_("That finding belongs to another job."), "finding")
    with changing(photo.job):
        photo.caption, photo.finding = caption, finding
        if finding:
            photo.purpose = Photo.Purpose.FINDING
        photo.save(update_fields=["caption", "finding", "purpose"])
        photo.marks.all().delete()
        Mark.objects.bulk_create(
            [Mark(photo=photo, n=ring.n, x=ring.x, y=ring.y, r=ring.r) for ring in rings]
        )


def discard_photo(photo: Photo) -> None:
    """Throw away a photograph that nobody but staff has seen: one of a draft, or taken for a finding and in none yet."""
    seen = photo.purpose != Photo.Purpose.FINDING or (
        photo.finding and photo.finding.state != Finding.State.DRAFT
    )
    if seen:
        raise Refused(_("The customer has seen this photograph, so it stays."))
    incoming, sizes = photo.incoming, dict(photo.sizes)
    photo.delete()
    transaction.on_commit(lambda: _forget_files(incoming, sizes))


def _forget_files(incoming: str, sizes: dict[str, str]) -> None:
    """Remove files that no photograph names any more: equal pictures share one file."""
    store.forget(incoming)
    for width, name in sizes.items():
        if not Photo.objects.filter(**{f"sizes__{width}": name}).exists():
            store.forget(name)
