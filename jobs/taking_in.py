"""Taking a photograph in, by whatever road it comes: looked at by its first bytes, noted, and the darkroom woken after the commit.

Its file is written by `jobs.darkroom.store.keep_incoming` before any transaction begins.
"""

from typing import Any

from django.conf import settings
from django.db import transaction
from django.utils.translation import gettext as _

from jobs.actions.photo import add_photo
from jobs.darkroom import sniff, store
from jobs.models import Photo
from jobs.tasks import develop_photo
from jobs.waking import wake


def problem_with(head: bytes, size: int) -> str:
    """Why a file cannot be taken, in a sentence for whoever sent it; "" when it can. `head`: its first bytes, `size` in bytes."""
    if store.nearly_full():
        return _(
            "We have no room for more photos just now. Please try again tomorrow, or send them by e-mail."
        )
    return sniff.refusal(head, size, heic=settings.HEIC)


@transaction.atomic
def take_in(incoming: str, purpose: str, **to: Any) -> Photo:
    """Note a kept file as a photograph of a job or a basket (`to` goes to `jobs.actions.photo.add_photo`). Raises Refused."""
    photo = add_photo(incoming, purpose, **to)
    transaction.on_commit(lambda: wake(develop_photo, photo.pk) and None, robust=True)
    return photo
