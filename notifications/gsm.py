"""What a text message can carry: the alphabet of 7 bits, and how many messages a text is sent and paid as (3GPP TS 23.038 and 23.040).

One sign outside the alphabet turns the whole text into 16-bit signs, of which far fewer fit. So whatever can be written inside it, is.
The table was written from memory of the standard; a test holds it against the one that Perl carries.
"""

import unicodedata
from collections.abc import Iterator

# TS 23.038, 6.2.1: one septet each. Escape (0x1B) is left out.
BASIC = (
    "@£$¥èéùìòÇ\nØø\rÅåΔ_ΦΓΛΩΠΨΣΘΞÆæßÉ"
    " !\"#¤%&'()*+,-./0123456789:;<=>?"
    "¡ABCDEFGHIJKLMNOPQRSTUVWXYZÄÖÑÜ§"
    "¿abcdefghijklmnopqrstuvwxyzäöñüà"
)
# 6.2.1.1: escape and a second septet.
EXTENDED = "\f^{}\\[~]|€"

ALONE, IN_PARTS = (
    160,
    153,
)  # septets; each part of a longer text begins with a header of six octets (TS 23.040, 9.2.3.24)
ALONE_16, IN_PARTS_16 = 70, 67  # UTF-16 code units

PLAIN = {"‘’‚‛′´`": "'", "“”„‟″«»": '"', "‐‑‒–—―−•·": "-", "\t": " ", "\r": "", "\f": "\n"}
LETTERS = "œ=oe Œ=OE ẞ=SS ł=l Ł=L đ=d Đ=D ð=d Ð=D þ=th Þ=Th ı=i ħ=h Ħ=H ŧ=t Ŧ=T …=... ×=x ÷=/ ⁄=/ №=No"
WRITTEN_AS = str.maketrans(
    {sign: plain for signs, plain in PLAIN.items() for sign in signs}
    | dict(pair.split("=", 1) for pair in LETTERS.split())
)


def writable(text: str) -> str:
    """`text` as a text message should carry it: inside the alphabet where each letter of it can be, else in 16-bit signs.

    Quotation marks and dashes become plain ones, accents that the alphabet lacks go, and so do emoji and other signs without a letter.
    A text in another script stays as it is: better dear than unreadable.
    """
    plain = unicodedata.normalize("NFC", text).translate(WRITTEN_AS)
    inside = "".join(_inside(sign) for sign in plain)
    return inside if is_inside(inside) else _printable(plain)


def is_inside(text: str) -> bool:
    return all(sign in BASIC or sign in EXTENDED for sign in text)


def parts(text: str) -> int:
    """How many messages `text` is sent as. An empty one is still one."""
    if is_inside(text):
        return _count([1 + (sign in EXTENDED) for sign in text], ALONE, IN_PARTS)
    return _count([len(sign.encode("utf-16-le")) // 2 for sign in text], ALONE_16, IN_PARTS_16)


def _count(sizes: list[int], alone: int, in_parts: int) -> int:
    """Parts needed for signs of these sizes. A sign of two is never cut: it goes into the next part whole."""
    if sum(sizes) <= alone:
        return 1
    used, room = 1, in_parts
    for size in sizes:
        if size > room:
            used, room = used + 1, in_parts
        room -= size
    return used


def _inside(sign: str) -> str:
    """The sign, or what stands for it inside the alphabet; itself where it is a letter that nothing can stand for."""
    if sign in BASIC or sign in EXTENDED:
        return sign
    bare = "".join(_bare(sign))
    if bare and is_inside(bare):
        return bare
    return sign if unicodedata.category(sign)[0] in "LN" else ""


def _bare(sign: str) -> Iterator[str]:
    """The sign without accents and ligatures (UAX 15, form KD)."""
    for part in unicodedata.normalize("NFKD", sign).translate(WRITTEN_AS):
        if unicodedata.category(part)[0] != "M":
            yield part


def _printable(text: str) -> str:
    return "".join(sign for sign in text if sign == "\n" or unicodedata.category(sign)[0] != "C")
