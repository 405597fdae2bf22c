"""Taking photographs in: looked at by their first bytes, kept, noted, and the darkroom woken after the commit."""

from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.core.files.uploadedfile import UploadedFile

from jobs import taking_in
from jobs.actions.refusals import Refused
from jobs.darkroom import sniff, store
from jobs.models import Photo

ACCEPT = "image/jpeg,image/png,image/webp"
MOST_AT_ONCE = 6


@dataclass(frozen=True)
class Taken:
    """What became of one upload: the photograph, or a sentence that says why not."""

    file_name: str
    photo: Photo | None = None
    problem: str = ""


def take(files: list[UploadedFile], purpose: str, **to: Any) -> list[Taken]:
    """Take uploads in for a job or a basket (`to` goes to `jobs.actions.photo.add_photo`). Each succeeds or fails by itself."""
    return [_take_one(file, purpose, **to) for file in files]


def problem_with(file: UploadedFile) -> str:
    """Why an upload cannot be taken, in a sentence; "" when it can."""
    head = file.read(sniff.HEAD_BYTES)
    file.seek(0)
    return taking_in.problem_with(head, file.size or 0)


def basket_photos(basket: UUID) -> list[Photo]:
    """Photographs that were uploaded before their job existed."""
    return list(Photo.objects.filter(basket=basket, job__isnull=True))


def _take_one(file: UploadedFile, purpose: str, **to: Any) -> Taken:
    name = file.name or ""
    if problem := problem_with(file):
        return Taken(name, problem=problem)
    incoming = store.keep_incoming(file.chunks())
    try:
        photo = taking_in.take_in(incoming, purpose, file_name=name, **to)
    except Refused as refused:
        store.forget(incoming)
        return Taken(name, problem=refused.sentence)
    return Taken(name, photo=photo)
