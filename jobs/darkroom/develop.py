"""The child process that decodes one photograph: `python -m jobs.darkroom.develop SOURCE FOLDER [heic]`.

Runs with little memory and little time, and knows neither Django nor the database. Prints one line of JSON:
{"width", "height", "sizes": {"400": "FILE", ...}} or {"problem": CODE}, CODE one of large, moving, unreadable.
"""

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from jobs.bounded import bound

if TYPE_CHECKING:
    from PIL.Image import Image as Picture

MEMORY_BYTES = 1024**3
CPU_SECONDS = 25
MAX_PIXELS = 60_000_000
MAX_SIDE = 12_000
WIDTHS = (400, 800, 1600)
QUALITY = 82
FORMATS = (
    "JPEG",
    "PNG",
    "WEBP",
)  # JPEG opens its two-picture form MPO too; "MPO" by itself is an error to Pillow


class Problem(Exception):
    """The photograph will not be taken; the message is its code."""


def develop(source: Path, folder: Path, heic: bool) -> dict[str, object]:
    """Write the sizes into `folder` without any metadata, upright, in sRGB. Raises Problem."""
    from PIL import Image

    Image.MAX_IMAGE_PIXELS = MAX_PIXELS
    formats: tuple[str, ...] = FORMATS
    if heic:
        import pillow_heif  # type: ignore[import-not-found]  # an optional extra

        pillow_heif.register_heif_opener()
        formats = (*FORMATS, "HEIF")
    try:
        with Image.open(source, formats=formats) as picture:
            _look(picture)
            upright = _upright(picture)
    except Problem:
        raise
    except (Image.DecompressionBombError, MemoryError) as bomb:
        raise Problem("large") from bomb
    except Exception as broken:
        raise Problem("unreadable") from broken
    sizes = {str(width): _write(upright, width, folder) for width in _widths(upright.width)}
    return {"width": upright.width, "height": upright.height, "sizes": sizes}


def _look(picture: "Picture") -> None:
    """Judge by the header alone. An MPO's second picture is a phone's depth or gain map: the first is the photograph."""
    width, height = picture.size
    if width * height > MAX_PIXELS or max(width, height) > MAX_SIDE:
        raise Problem("large")
    if picture.format != "MPO" and getattr(picture, "n_frames", 1) > 1:
        raise Problem("moving")


def _upright(picture: "Picture") -> "Picture":
    from PIL import Image, ImageOps

    picture.draft("RGB", (max(WIDTHS) * 2, max(WIDTHS) * 2))
    picture.load()
    profile = picture.info.get("icc_profile")
    upright = ImageOps.exif_transpose(_smaller(picture))
    if upright.mode not in ("RGB", "L"):
        upright = _on_white(upright)
    upright = _to_srgb(upright, profile).convert("RGB")
    # A fresh picture with the pixels alone: place, maker, time and thumbnails stay behind.
    return Image.frombytes("RGB", upright.size, upright.tobytes())


def _smaller(picture: "Picture") -> "Picture":
    """Reduced to not less than twice our largest size: what comes after would need several copies of 60 megapixels."""
    factor = picture.width // (max(WIDTHS) * 2)
    if factor < 2 or picture.mode not in ("RGB", "RGBA", "L", "LA", "CMYK"):
        return picture
    smaller = picture.reduce(factor)
    smaller.info = picture.info  # holds the orientation
    return smaller


def _on_white(picture: "Picture") -> "Picture":
    from PIL import Image

    clear = picture.convert("RGBA")
    ground = Image.new("RGBA", clear.size, "white")
    return Image.alpha_composite(ground, clear).convert("RGB")


def _to_srgb(picture: "Picture", profile: bytes | None) -> "Picture":
    """Bring wide-gamut phone colours to sRGB; a broken profile is left out rather than refused."""
    if not profile or picture.mode != "RGB":
        return picture
    from io import BytesIO

    from PIL import ImageCms

    try:
        return ImageCms.profileToProfile(picture, BytesIO(profile), ImageCms.createProfile("sRGB")) or picture
    except ImageCms.PyCMSError:
        return picture


def _widths(width: int) -> list[int]:
    """The sizes to make: none larger than the photograph, and its own width where that is not the largest of ours."""
    return [*(size for size in WIDTHS if size < width), min(width, max(WIDTHS))]


def _write(picture: "Picture", width: int, folder: Path) -> str:
    height = max(1, round(picture.height * width / picture.width))
    name = f"{width}.jpg"
    picture.resize((width, height), reducing_gap=3.0).save(
        folder / name, "JPEG", quality=QUALITY, progressive=True, optimize=True
    )
    return name


def main(arguments: list[str]) -> int:
    bound(MEMORY_BYTES, CPU_SECONDS)
    try:
        told = develop(Path(arguments[0]), Path(arguments[1]), "heic" in arguments[2:])
    except Problem as problem:
        told = {"problem": str(problem)}
    except MemoryError:
        told = {"problem": "large"}
    print(json.dumps(told))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
