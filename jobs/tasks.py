"""Background work of the trade: developing photographs. Tasks take ids only and hold no rule."""

from datetime import timedelta

from celery import shared_task
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.actions.erasing import erase_traces
from jobs.actions.photo import MAX_ATTEMPTS, claim_photo, photo_failed, photo_is_ready, throw_away
from jobs.darkroom import store
from jobs.darkroom.process import Developed, develop
from jobs.models import Photo
from jobs.waking import wake

ORPHANS_KEPT = timedelta(days=7)


@shared_task(name="jobs.develop_photo")
def develop_photo(photo_id: int) -> None:
    """Develop one photograph, unless another worker has it. After three tries that killed the worker it counts as unreadable."""
    photo = claim_photo(photo_id)
    if photo is None:
        return
    if photo.attempts > MAX_ATTEMPTS:
        photo_failed(photo, _("We tried three times and could not open this photo."))
        return
    match develop(photo.incoming):
        case Developed(width, height, sizes):
            photo_is_ready(photo, width=width, height=height, sizes=sizes)
            store.forget(photo.incoming)
        case failed:
            photo_failed(photo, failed.sentence)


@shared_task(name="jobs.sweep_photos")
def sweep_photos() -> None:
    """Wake the darkroom for every photograph that a crash or a lost message left waiting."""
    late = timezone.now() - timedelta(seconds=10)
    for photo_id in Photo.objects.waiting().filter(added_at__lt=late).values_list("pk", flat=True)[:50]:
        wake(develop_photo, photo_id)


@shared_task(name="jobs.forget_orphans")
def forget_orphans() -> None:
    """Forget what has had its time: from where answers came, and uploads of booking forms that were never finished."""
    erase_traces()
    for photo in Photo.objects.filter(job__isnull=True, added_at__lt=timezone.now() - ORPHANS_KEPT)[:200]:
        throw_away(photo)
