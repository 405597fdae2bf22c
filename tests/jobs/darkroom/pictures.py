"""Photographs made for the tests: good ones, and such as strangers might send."""

import io
import struct
import zlib
from collections.abc import Iterator

from PIL import Image, ImageDraw
from PIL.TiffImagePlugin import IFDRational

SCRIPT = b"<script>alert('from a picture')</script>"
ORIENTATION, MAKE, MODEL, GPS = 0x0112, 0x010F, 0x0110, 0x8825


def saved(picture: Image.Image, kind: str = "JPEG", **options: object) -> bytes:
    file = io.BytesIO()
    picture.save(file, kind, **options)
    return file.getvalue()


def quarters(width: int = 640, height: int = 480) -> Image.Image:
    """Four plain colours, a different one in each corner, so that every turn of it looks different."""
    picture = Image.new("RGB", (width, height), "crimson")
    draw = ImageDraw.Draw(picture)
    draw.rectangle((width // 2, 0, width, height // 2), fill="forestgreen")
    draw.rectangle((0, height // 2, width // 2, height), fill="royalblue")
    draw.rectangle((width // 2, height // 2, width, height), fill="gold")
    return picture


def grain(width: int = 1200, height: int = 900) -> bytes:
    """A JPEG that does not compress well, so that it can be cut in the middle of its picture."""
    return saved(Image.effect_noise((width, height), 90).convert("RGB"), quality=90)


def with_place() -> bytes:
    """As a phone sends it: where it was taken, by which phone."""
    exif = Image.Exif()
    exif[MAKE], exif[MODEL] = "Nightjar Phones", "Nightjar 9"
    degrees = tuple(IFDRational(part) for part in (50, 12, 7))
    exif[GPS] = {1: "N", 2: degrees, 3: "W", 4: degrees}
    return saved(quarters(), exif=exif)


# How the sensor's picture was turned for each value of the orientation tag (CIPA DC-008, Exif 2.32, tag 0x0112): what turns
# the upright picture into the stored one.
TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_90,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_270,
}


def turned(orientation: int, width: int = 640, height: int = 480, kind: str = "JPEG") -> bytes:
    """The four quarters as a phone held in one of eight ways stores them. Upright they are all the same."""
    picture = quarters(width, height)
    if orientation in TURNS:
        picture = picture.transpose(TURNS[orientation])
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    return saved(picture, kind, exif=exif, **({"quality": 95, "subsampling": 0} if kind == "JPEG" else {}))


def bomb(side: int, height: int | None = None) -> bytes:
    """A PNG of `side` x `height` black pixels, one bit each: a few kilobytes that open to a great many."""
    return png(side, height or side, depth=1, colour=0, rows=zeros((side + 7) // 8 + 1, height or side))


def clear_colour(width: int, height: int) -> bytes:
    """A PNG with four bytes a pixel: the most memory that a still picture asks for."""
    return png(width, height, depth=8, colour=6, rows=zeros(width * 4 + 1, height))


def with_swollen_text() -> bytes:
    """A small PNG with a compressed text of 200 MB."""
    text = b"zTXtcomment\0\0" + squeezed(zeros(1_000_000, 200))
    small = saved(Image.new("RGB", (8, 8)), "PNG")
    head, rest = small[:33], small[33:]
    return head + chunk(text[:4], text[4:]) + rest


def png(width: int, height: int, depth: int, colour: int, rows: Iterator[bytes]) -> bytes:
    header = struct.pack(">IIBBBBB", width, height, depth, colour, 0, 0, 0)
    data = squeezed(rows)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", data) + chunk(b"IEND", b"")


def chunk(name: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))


def zeros(row: int, count: int) -> Iterator[bytes]:
    for _ in range(count):
        yield bytes(row)


def squeezed(rows: Iterator[bytes]) -> bytes:
    packer = zlib.compressobj(1)
    return b"".join(packer.compress(row) for row in rows) + packer.flush()


def frames() -> list[Image.Image]:
    return [Image.new("RGB", (320, 240), colour) for colour in ("crimson", "gold", "royalblue")]


def moving(kind: str) -> bytes:
    """An animation: WEBP, PNG or GIF."""
    first, *rest = frames()
    return saved(first, kind, save_all=True, append_images=rest, duration=100)


def two_pictures() -> bytes:
    """What many phones store: a JPEG with a second picture behind it (CIPA DC-007, multi-picture format)."""
    return saved(quarters(), "MPO", save_all=True, append_images=[Image.new("RGB", (64, 48), "grey")])


NOT_PHOTOGRAPHS: dict[str, bytes] = {
    "gif": saved(quarters(64, 48), "GIF"),
    "bmp": saved(quarters(64, 48), "BMP"),
    "tiff": saved(quarters(64, 48), "TIFF"),
    "ico": saved(quarters(64, 64), "ICO"),
    "ppm": saved(quarters(64, 48), "PPM"),
    "eps": saved(quarters(64, 48), "EPS"),
    "svg": b'<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><script>alert(1)</script></svg>',
    "psd": b"8BPS\0\1" + bytes(6) + struct.pack(">HIIHH", 3, 8, 8, 8, 3) + bytes(400),
    "pdf": b"%PDF-1.7\n%" + bytes(200),
    "html": b"<!doctype html><script>alert(1)</script>",
    "nothing": b"",
}
