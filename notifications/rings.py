"""Draws a photograph's numbered marks into the copy that travels inside a letter: mail programs show no overlay.

The ring takes the certainty's line, as on the pages: full when seen or measured, broken when inferred or not known, struck through
when ruled out. Units of drawing: a picture is 1200 wide.
"""

import math
from collections.abc import Sequence
from io import BytesIO
from typing import TYPE_CHECKING

from jobs.models import Mark, Photo
from notifications.pictures import LARGEST

if TYPE_CHECKING:
    from PIL.Image import Image
    from PIL.ImageDraw import ImageDraw

WIDE = 1200
DISC = 44
EDGE = DISC + 12
WHITE, INK, CASING = (255, 255, 255, 255), (30, 27, 24, 255), (0, 0, 0, 140)
LINES = ((12, CASING), (6, WHITE))  # a dark casing under a white line reads on any photograph
QUALITIES = (82, 70, 55)
BROKEN = {"inferred", "untried"}


def marked(photo: Photo, jpeg: bytes) -> bytes:
    """The picture with its marks; as it came when it has none, or when it would grow too large for a letter."""
    marks = list(photo.marks.all())
    if not marks:
        return jpeg
    from PIL import Image  # here, so that no web process ever loads it

    with Image.open(BytesIO(jpeg)) as picture:
        drawn = _over(picture.convert("RGB"), marks, photo.finding.certainty if photo.finding else "")
    for quality in QUALITIES:
        out = BytesIO()
        drawn.save(out, "JPEG", quality=quality, optimize=True)
        if out.tell() <= LARGEST:
            return out.getvalue()
    return jpeg


def _over(picture: "Image", marks: Sequence[Mark], certainty: str) -> "Image":
    from PIL import Image, ImageDraw

    high = round(WIDE * picture.height / picture.width)
    # Drawn larger than shown, then made smaller: smooth edges.
    glass = Image.new("RGBA", (WIDE, high), (255, 255, 255, 0))
    pen = ImageDraw.Draw(glass)
    for mark in marks:
        _ring(pen, mark, high, certainty)
    for mark in marks:
        _disc(pen, mark, high)
    glass = glass.resize(picture.size, Image.Resampling.LANCZOS)
    picture.paste(glass, (0, 0), glass)
    return picture


def _ring(pen: "ImageDraw", mark: Mark, high: int, certainty: str) -> None:
    x, y, r = _circle(mark, high)
    box = (x - r, y - r, x + r, y + r)
    for width, colour in LINES:
        if certainty in BROKEN:
            for start in range(0, 360, 30):
                pen.arc(box, start, start + 19, fill=colour, width=width)
        else:
            pen.ellipse(box, outline=colour, width=width)
        if certainty == "ruled_out":
            pen.line((x - 0.7 * r, y + 0.7 * r, x + 0.7 * r, y - 0.7 * r), fill=colour, width=width)


def _disc(pen: "ImageDraw", mark: Mark, high: int) -> None:
    """The number sits on the ring's rim, on the side away from the middle of the picture, where there is room for it."""
    from PIL import ImageFont

    x, y, r = _circle(mark, high)
    angle = math.atan2(y - high / 2, x - WIDE / 2)
    cx = min(max(x + (r + DISC) * math.cos(angle), EDGE), WIDE - EDGE)
    cy = min(max(y + (r + DISC) * math.sin(angle), EDGE), high - EDGE)
    pen.ellipse((cx - DISC, cy - DISC, cx + DISC, cy + DISC), fill=WHITE, outline=CASING, width=3)
    pen.text((cx, cy), str(mark.n), fill=INK, font=ImageFont.load_default(54), anchor="mm")


def _circle(mark: Mark, high: int) -> tuple[float, float, float]:
    return mark.x * WIDE / 1000, mark.y * high / 1000, max(20.0, mark.r * WIDE / 1000)
