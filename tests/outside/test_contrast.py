"""The colour tokens against the contrast that WCAG 2.2 asks for: 4.5 : 1 for text (1.4.3), 3 : 1 for edges of controls (1.4.11).

Source of the formula: W3C, Web Content Accessibility Guidelines 2.2, definitions of "relative luminance" and "contrast ratio"
(w3c/wcag, guidelines/terms/20/relative-luminance.html and contrast-ratio.html). Source of the example ratios: the W3C ACT rule
afw4f7 "Text has minimum contrast", techniques G183 and G207, and the Understanding documents. Published ratios are mostly cut
off, not rounded, so they are compared to a tenth.
"""

import re
from itertools import product
from pathlib import Path

import pytest

CSS = (Path(__file__).parents[2] / "portal/static/portal/benchletter.css").read_text()

TEXT = [
    *product(["ink", "soft", "accent"], ["ground", "print"]),
    ("ink", "wash"),
    ("soft", "wash"),
    ("ink", "well"),
    ("soft", "well"),
    ("on", "fill"),
    ("on", "fill-deep"),
    ("ground", "ink"),
]
EDGES = [
    *product(["edge", "accent", "fill-edge", "ink"], ["ground", "print"]),
    ("edge", "wash"),
    ("accent", "wash"),
]


def block(css: str) -> dict[str, str]:
    """Names and colours of the tokens in the first :root block."""
    inside = re.search(r":root\s*\{(.*?)\}", css, re.S)
    assert inside
    return dict(re.findall(r"--([\w-]+):\s*(#[0-9a-f]{3,6})", inside[1]))


LIGHT = block(CSS)
DARK = {**LIGHT, **block(CSS.split("prefers-color-scheme: dark")[1])}


def luminance(colour: str) -> float:
    digits = colour.lstrip("#")
    if len(digits) == 3:
        digits = "".join(2 * digit for digit in digits)
    shares = [int(digits[n : n + 2], 16) / 255 for n in (0, 2, 4)]
    linear = [share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4 for share in shares]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


@pytest.mark.parametrize(
    ("one", "other", "published"),
    [
        ("#333333", "#ffffff", 12.6),  # ACT rule afw4f7
        ("#aaaaaa", "#ffffff", 2.3),  # ACT rule afw4f7
        ("#000000", "#666666", 3.6),  # ACT rule afw4f7
        ("#0000ee", "#ffffff", 9.39),  # ACT rule afw4f7
        ("#777777", "#eeeeee", 3.85),  # ACT rule afw4f7
        ("#000000", "#ffffff", 21),  # WCAG 2.2, contrast ratio
        ("#e3660e", "#ffffff", 3.4),  # technique G207
        ("#3366cc", "#000000", 3.9),  # technique G183
        ("#e5e5e5", "#6221ea", 5.6),  # Understanding 1.4.11
        ("#fff000", "#ffffff", 1.2),  # Understanding 1.4.11
        ("#949494", "#ffffff", 3),  # Understanding 1.4.11
    ],
)
def test_our_formula_gives_the_published_ratios(one: str, other: str, published: float) -> None:
    assert abs(contrast(one, other) - published) < 0.1


@pytest.mark.parametrize("scheme", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize(("text", "behind"), TEXT, ids="-on-".join)
def test_text_can_be_read(scheme: dict[str, str], text: str, behind: str) -> None:
    assert contrast(scheme[text], scheme[behind]) >= 4.5


@pytest.mark.parametrize("scheme", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize(("edge", "behind"), EDGES, ids="-on-".join)
def test_controls_and_drawings_can_be_told_from_the_page(
    scheme: dict[str, str], edge: str, behind: str
) -> None:
    assert contrast(scheme[edge], scheme[behind]) >= 3


@pytest.mark.parametrize("behind", ["#ffffff", "#000000"])
def test_a_ring_on_a_photograph_shows_on_any_picture(behind: str) -> None:
    """White on its casing: black at 55 % over whatever the photograph shows there."""
    level = round(int(behind[1:3], 16) * 0.45)
    assert contrast("#ffffff", f"#{level:02x}{level:02x}{level:02x}") >= 3


def test_dark_has_every_colour_that_light_has_but_the_button_text() -> None:
    assert set(LIGHT) - set(block(CSS.split("prefers-color-scheme: dark")[1])) == {"on"}
