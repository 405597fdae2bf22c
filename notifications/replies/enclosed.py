"""Files that came with a letter: photographs go the way of every photograph; everything else is named and stays in the message."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import override

from jobs.actions.refusals import Refused
from jobs.darkroom import sniff, store
from jobs.models import Customer, Job, Photo
from jobs.taking_in import problem_with, take_in
from notifications.replies.apart import Enclosed

MOST_PHOTOGRAPHS = 6  # as many as a form takes at once
SMALL_INLINE = (
    12_000  # bytes; what stands inside a text and is smaller is a sign under it, not a photograph of a camera
)
OUR_OWN = {
    "photo.jpg",
    "drawing.png",
}  # the pictures inside our letters come back with what is quoted (notifications.message)


@dataclass
class Chosen:
    photographs: list[Enclosed] = field(default_factory=list)
    others: list[Enclosed] = field(default_factory=list)


@dataclass(frozen=True)
class Kept:
    """A photograph's file in the incoming folder of the darkroom."""

    incoming: str
    enclosed: Enclosed


def choose(came: Sequence[Enclosed]) -> Chosen:
    """What can be taken as a photograph, by its first bytes and never by its name, and what not; without what we sent ourselves."""
    chosen = Chosen()
    for one in came:
        if one.inline and one.name in OUR_OWN:
            continue
        is_sign = one.inline and one.size < SMALL_INLINE
        taken = not is_sign and len(chosen.photographs) < MOST_PHOTOGRAPHS and not _problem(one)
        (chosen.photographs if taken else chosen.others).append(one)
    return chosen


def keep(photographs: Sequence[Enclosed]) -> list[Kept]:
    return [Kept(store.keep_incoming([one.file.read_bytes()]), one) for one in photographs]


def note(kept: Sequence[Kept], job: Job) -> tuple[int, list[Enclosed]]:
    """Note them as the customer's photographs. Returns how many were, and those that the job has no room for."""
    taken, refused = 0, []
    for one in kept:
        try:
            take_in(
                one.incoming,
                Photo.Purpose.STORY,
                job=job,
                file_name=one.enclosed.name,
                by_kind="customer",
            )
            taken += 1
        except Refused:
            refused.append(one.enclosed)
    return taken, refused


def forget(kept: Sequence[Kept]) -> None:
    for one in kept:
        store.forget(one.incoming)


def named(left: Sequence[Enclosed]) -> list[dict[str, Any]]:
    return [{"name": one.name, "kind": one.kind, "size": one.size} for one in left]


def only_photographs(person: Customer) -> str:
    """What stands for a letter without words, in the person's language: it stands on their page."""
    with override(person.language):
        return _("(Photographs, without words.)")


def _problem(one: Enclosed) -> str:
    with one.file.open("rb") as file:
        return problem_with(file.read(sniff.HEAD_BYTES), one.size)
