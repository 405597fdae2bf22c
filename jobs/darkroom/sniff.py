"""What a file is, by its first bytes. Nothing is decoded here, so that a web process never opens a stranger's picture."""

from django.utils.translation import gettext as _

HEAD_BYTES = 16
MAX_BYTES = 25 * 1024 * 1024
_HEIF_BRANDS = (b"heic", b"heix", b"hevc", b"hevx", b"heim", b"heis", b"mif1", b"msf1", b"avif")


def kind(head: bytes) -> str:
    """`jpeg` (MPO included), `png`, `webp`, `heic` or "" for anything else. `head`: the first 16 bytes or more."""
    if head.startswith(b"\xff\xd8\xff"):
        return "jpeg"
    if head.startswith(b"\x89PNG\r\n\x1a\n"):
        return "png"
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return "webp"
    if head[4:8] == b"ftyp" and head[8:12] in _HEIF_BRANDS:
        return "heic"
    return ""


def refusal(head: bytes, size: int, *, heic: bool = False) -> str:
    """Why a file cannot be taken, in a sentence for whoever sent it; "" when it can. `size` in bytes."""
    if size > MAX_BYTES:
        return _("This photo is larger than 25 MB. A smaller copy will do.")
    found = kind(head)
    if found == "heic" and not heic:
        return _("This photo is in the HEIC format, which we cannot open. Please send it as JPEG.")
    if not found:
        return _("This is not a photo that we can open. JPEG, PNG and WebP work.")
    return ""
