"""What the typefaces of a document can write. A sign that they lack is written by its name: 😀 as [grinning face].

An archival file may not hold a sign without a shape (PDF/A-3, 6.2.11.4.1 with 6.2.11.8, from memory), so the typesetter refuses
it. The ranges were taken by asking the typesetter itself (typst 0.15.2, its embedded faces) for every code point; a test asks again.
"""

from collections.abc import Callable
from functools import cache
from typing import Any
from unicodedata import category, normalize
from unicodedata import name as unicode_name

RANGES = """
20-7E A0-AC AE-377 37A-37F 384-38A 38C 38E-3A1 3A3-4FF 510-513 51A-51D 531-556 559-58A 58D-58F 591-5C7 5D0-5EA
5EF-5F4 606-60C 615 61B 61F 621-63A 640-655 65A 660-66D 674 679-67B 67E-680 683-684 686-687 691 698 6A4 6A9
6AF 6BE 6CC 6F0-6F9 900-97F E3F E81-E82 E84 E87-E88 E8A E8D E94-E97 E99-E9F EA1-EA3 EA5 EA7 EAA-EAB EAD-EB9
EBB-EBC EC8-ECD 10D0-10FF 13A0-13F5 13F8-13FD 1D00-1F15 1F18-1F1D 1F20-1F45 1F48-1F4D 1F50-1F57 1F59 1F5B 1F5D
1F5F-1F7D 1F80-1FB4 1FB6-1FC4 1FC6-1FD3 1FD6-1FDB 1FDD-1FEF 1FF2-1FF4 1FF6-1FFE 2000-200A 200C 200E-2027
202F-2040 2042 2044-2052 2054-205F 2070-2071 2074-208E 2090-209C 20A0-20C0 20D0-20F0 2100-211E 2120 2122 2124
2126-2151 2153-2184 2189 2190-23FF 2422-2423 2460-2606 2609-262F 2638-268B 2690-269C 26A0-26A7 26AA-26AF 26B2
2701-2704 2706-2709 270C-2714 2717-2726 272A-274B 274D 274F-2752 2756 2758-275E 2761-277F 2794 2798-27AF
27B1-2B73 2B76-2B95 2B97-2BFF 2C60-2CF3 2CF9-2CFF 306E FB00-FB06 FB13-FB17 FB1D-FB36 FB38-FB3C FB3E FB40-FB41
FB43-FB44 FB46-FB4F FB52-FB81 FB8A-FB95 FB9E-FB9F FBAA-FBAD FBE8-FBE9 FBFC-FBFF FE66 FE70-FE74 FE76-FEFC FFFD
1D400-1D454 1D456-1D49C 1D49E-1D49F 1D4A2 1D4A5-1D4A6 1D4A9-1D4AC 1D4AE-1D4B9 1D4BB 1D4BD-1D4C3 1D4C5-1D505
1D507-1D50A 1D50D-1D514 1D516-1D51C 1D51E-1D539 1D53B-1D53E 1D540-1D544 1D546 1D54A-1D550 1D552-1D6A5
1D6A8-1D7CB 1D7CE-1D7FF 1F12F 1F6D1 1F780-1F7D8 1F7E0-1F7EB 1F800-1F80B 1F810-1F847 1F850-1F859 1F860-1F887
1F890-1F8AD 1F8B0-1F8B1
"""
NAMELESS = ("CJK ", "HANGUL SYLLABLE", "<")
DROPPED = {"Cf", "Cc"}
BREAKS = {"Zl", "Zp"}
KEPT = "\u200c\u200e\u200f"  # between letters of Arabic and Hebrew they mean something, and can hide nothing
SELECTORS = range(0xFE00, 0xFE10), range(0xE0100, 0xE01F0)  # they only choose a shape


@cache
def shapes() -> frozenset[str]:
    """Every sign that the typefaces have a shape for."""
    found: set[str] = set()
    for part in RANGES.split():
        first, _, last = part.partition("-")
        found.update(chr(code) for code in range(int(first, 16), int(last or first, 16) + 1))
    return frozenset(found)


def is_plain(sign: str) -> bool:
    """Letters of Latin, Greek and Cyrillic, figures and the usual punctuation: what is left when combinations make trouble."""
    return sign in shapes() and ord(sign) < 0x0500 and category(sign)[0] != "M"


def tidy(text: str) -> str:
    """`text` with accents composed, without control signs and signs that only choose a shape or a direction; a new line stays."""
    text = normalize("NFC", text.replace("\r\n", "\n").replace("\r", "\n").replace("\t", " "))
    return "".join("\n" if category(sign) in BREAKS else sign for sign in text if _stays(sign))


def _stays(sign: str) -> bool:
    if any(ord(sign) in selectors for selectors in SELECTORS):
        return False
    return sign == "\n" or sign in KEPT or category(sign) not in DROPPED


def writable(text: str, has: Callable[[str], bool] = lambda sign: sign in shapes()) -> str:
    """`text`, tidy, with each sign that has no shape written by its name. An accent is kept on a letter, and named elsewhere."""
    made: list[str] = []
    before = ""
    for sign in tidy(text):
        kept = sign == "\n" or (has(sign) and (category(sign)[0] != "M" or _carries(before)))
        made.append(sign if kept else name(sign))
        before = sign if kept else ""
    return "".join(made)


def _carries(before: str) -> bool:
    return bool(before) and category(before)[0] in "LM"


def name(sign: str) -> str:
    """[grinning face]; [U+65E5] where the name would say no more."""
    called = unicode_name(sign, "<")
    return f"[U+{ord(sign):04X}]" if called.startswith(NAMELESS) else f"[{called.lower()}]"


def throughout(value: Any, write: Callable[[str], str]) -> Any:
    """`value`, a tree of plain values, with `write` over every text in it; keys stay."""
    if isinstance(value, str):
        return write(value)
    if isinstance(value, dict):
        return {key: throughout(part, write) for key, part in value.items()}
    if isinstance(value, list | tuple):
        return [throughout(part, write) for part in value]
    return value
