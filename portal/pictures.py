"""From a photograph's row to what a page shows: the addresses of its sizes, and its marks."""

from collections.abc import Iterable

from django.urls import reverse

from jobs.actions.photo import Ring
from jobs.models import Photo
from portal.drawing import marks
from portal.drawing.pictures import Picture, srcset

SHOWN_WIDTH = 800


def picture(
    photo: Photo,
    *,
    certainty: str = "seen",
    alt: str = "",
    large: str = "",
    marked: Iterable[Ring] | None = None,
) -> Picture:
    """A photograph that is ready. The rings' lines follow `certainty`.

    `marked`: rings that are not stored yet; without it those of `photo.marks`, which should be prefetched.
    """
    widths = sorted(int(width) for width in photo.sizes)
    width = min(widths, key=lambda each: abs(each - SHOWN_WIDTH))
    rings = [
        marks.Mark(ring.n, ring.x, ring.y, ring.r)
        for ring in (photo.marks.all() if marked is None else marked)
    ]
    return Picture(
        src=address(photo, width),
        width=width,
        height=max(1, round(photo.height * width / photo.width)),
        alt=alt or photo.caption,
        caption=photo.caption,
        srcset=srcset({each: address(photo, each) for each in widths}) if len(widths) > 1 else "",
        large=large,
        marked=marks.draw(rings, photo.width, photo.height, certainty) if rings else None,
    )


def address(photo: Photo, width: int) -> str:
    return reverse("photo", args=[photo.uid, width])
