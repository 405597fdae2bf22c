"""From a photograph's row to what a page shows: the addresses of its sizes, and its marks."""

from django.urls import reverse

from jobs.models import Photo
from portal.drawing import marks
from portal.drawing.pictures import Picture, srcset

SHOWN_WIDTH = 800


def picture(photo: Photo, *, certainty: str = "seen", alt: str = "", large: str = "") -> Picture:
    """A photograph that is ready. `photo.marks` should be prefetched; the rings' lines follow `certainty`."""
    widths = sorted(int(width) for width in photo.sizes)
    width = min(widths, key=lambda each: abs(each - SHOWN_WIDTH))
    rings = [marks.Mark(mark.n, mark.x, mark.y, mark.r) for mark in photo.marks.all()]
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
