"""The library's drawing inside a letter about a finding: a PNG, because mail programs show no SVG.

Made from the wording that the letter's entry names, so that it is the drawing of that day, whatever the library draws later.
"""

import logging
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import NamedTemporaryFile
from typing import Any

from jobs.library.draw import FOLDER
from jobs.models import Entry, Wording
from notifications.styles import ACCENT, INK, RULE, SHEET, SOFT

SHOWN_WIDTH = 360  # CSS pixels, the drawings' own size
SHARP = 2  # pixels of the file to one CSS pixel
KINDS = {"finding_posted", "finding_corrected"}
# The letter's paper is always the light one, at night too: a drawing is printed on it, as a photograph is.
COLOURS = {"ground": SHEET, "wash": "#efe6f0", "soft": SOFT, "edge": RULE, "accent": ACCENT}
_BOX = re.compile(r'viewBox="0 0 (\d+) (\d+)"')
_TOKEN = re.compile(r"var\(--(\w+),\s*\w+\)")
log = logging.getLogger(__name__)


@dataclass(frozen=True)
class Drawn:
    """A drawing as it was shown to the customer, with what its marks stand for, and its size in CSS pixels."""

    title: str
    svg: str
    legend: list[str]
    width: int
    height: int


def drawing_for(entry: Entry, letter: str) -> Drawn | None:
    """The drawing that belongs into this letter, or None."""
    if letter not in KINDS:
        return None
    wording = Wording.objects.filter(finding=entry.data["finding"], n=entry.data["wording"]).first()
    kept: dict[str, Any] = wording.content.get("shown", {}).get("picture", {}) if wording else {}
    box = _BOX.search(kept.get("svg", ""))
    if box is None:
        return None
    width, height = int(box[1]), int(box[2])
    return Drawn(kept["title"], kept["svg"], kept["legend"], SHOWN_WIDTH, round(SHOWN_WIDTH * height / width))


def png(drawn: Drawn) -> bytes | None:
    """The drawing as a PNG on the letter's paper, twice as fine as it is shown. None, and a line in the log, when it cannot be made."""
    import resvg_py  # here, so that no web process loads it before the first letter is looked at

    svg = drawn.svg.replace("<svg ", f'<svg xmlns="http://www.w3.org/2000/svg" color="{INK}" ', 1)
    try:
        made: bytes = resvg_py.svg_to_bytes(
            svg_string=svg,
            width=drawn.width * SHARP,
            background=SHEET,
            style_sheet=_style_sheet(),
            skip_system_fonts=True,
            font_files=[_font()],
            font_family="Aileron",
            sans_serif_family="Aileron",
        )
    except ValueError:
        log.exception("the drawing %r could not be made for a letter", drawn.title)
        return None
    return bytes(made)


@cache
def _style_sheet() -> str:
    """The drawings' one style sheet, with the letter's colours in the place of the page's tokens."""
    css = (FOLDER / "drawing.css").read_text(encoding="utf-8")
    return _TOKEN.sub(lambda token: COLOURS.get(token[1], INK), css)


@cache
def _font() -> str:
    """Pillow carries a face inside; the figures of the marks are set in it, so that no machine has to have one."""
    from PIL import ImageFont

    face: Any = ImageFont.load_default(16)
    with NamedTemporaryFile(prefix="benchletter-", suffix=".otf", delete=False) as file:
        file.write(face.path.getvalue())
    return str(Path(file.name))
