"""The one photograph that matters, small enough to travel inside a letter."""

from collections.abc import Callable
from dataclasses import dataclass

from django.db.models import QuerySet

from jobs.darkroom import store
from jobs.models import Entry, Finding, Photo
from jobs.models.finding import EFFECT_ORDER

LARGEST = 100_000  # bytes; more would make the whole letter slow, and some programs cut it off
WIDTHS = ("800", "400")  # the stored sizes that are worth sending, best first
SHOWN_WIDTH = 472  # CSS pixels between the letter's margins


@dataclass(frozen=True)
class Picture:
    """A stored file to put inside, how large it is shown (CSS pixels), and its bytes."""

    photo: Photo
    file: str
    width: int
    height: int
    size: int


def candidates(entry: Entry, letter: str) -> QuerySet[Photo]:
    """Photographs that could go into this letter, in any state, best first; none for most letters."""
    choose = _CHOICES.get(letter)
    return choose(entry) if choose else Photo.objects.none()


def picture_for(entry: Entry, letter: str, room: int = LARGEST) -> Picture | None:
    """The first of them that is developed and fits into so many bytes."""
    for photo in candidates(entry, letter).filter(state=Photo.State.READY)[:6]:
        if found := _small_enough(photo, room):
            height = round(SHOWN_WIDTH * photo.height / photo.width) if photo.width else 0
            return Picture(photo, found[0], SHOWN_WIDTH, height, found[1])
    return None


def _small_enough(photo: Photo, room: int) -> tuple[str, int] | None:
    """The stored file and its size."""
    for width in WIDTHS:
        name = photo.sizes.get(width, "")
        if name and (size := _bytes(name)) <= room:
            return str(name), size
    return None


def _bytes(name: str) -> int:
    try:
        return store.path(name).stat().st_size
    except OSError:
        return LARGEST + 1


def _of_the_finding(entry: Entry) -> QuerySet[Photo]:
    return Photo.objects.filter(finding=entry.data["finding"]).order_by("added_at", "pk")


def _of_the_worst_finding(entry: Entry) -> QuerySet[Photo]:
    """Worst finding first: what stops it is what the quote is about."""
    from django.db.models import Case, When

    worst = Case(*(When(finding__effect=value, then=n) for n, value in enumerate(EFFECT_ORDER)), default=9)
    of_findings = Photo.objects.filter(job=entry.job_id, finding__state=Finding.State.POSTED)
    return of_findings.order_by(worst, "added_at", "pk")


def _purpose(purpose: str, newest_first: bool = False) -> Callable[[Entry], QuerySet[Photo]]:
    order = ("-added_at", "-pk") if newest_first else ("added_at", "pk")
    return lambda entry: Photo.objects.filter(job=entry.job_id, purpose=purpose).order_by(*order)


_CHOICES: dict[str, Callable[[Entry], QuerySet[Photo]]] = {
    "arrived": _purpose(Photo.Purpose.ARRIVAL),
    "finding_posted": _of_the_finding,
    "finding_corrected": _of_the_finding,
    "quote_sent": _of_the_worst_finding,
    "ready": _purpose(Photo.Purpose.RESULT, newest_first=True),
}
