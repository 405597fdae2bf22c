"""Drawings: SVG templates in `drawings/`, whose parameters move their lines.

A drawing is one file: front matter (title, description, parameters) between `+++` lines, then the drawing in
Django's template language with the few filters below. One visual language, written down in drawings/README.md.
Every drawing carries its title and description for screen readers, and no style of its own: colours come from the
page through a handful of classes (drawings/drawing.css), and without them it is still a line drawing in one ink.
"""

import hashlib
import math
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Annotated

from django.template import Context, Engine, Library
from django.template.base import Template
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe
from pydantic import Field

from . import parse
from .errors import BadFact
from .schema import Key, Line, Strict

FOLDER = Path(__file__).parent / "drawings"
register = Library()
_FRAME = (
    '<svg class="drawing" viewBox="0 0 {width} {height}" role="img" aria-labelledby="{id}-t" aria-describedby="{id}-d" '
    'fill="none" stroke="currentColor" stroke-width="1.8"><title id="{id}-t">{title}</title>'
    '<desc id="{id}-d">{description}</desc>{body}</svg>'
)


class Param(Strict):
    """One parameter: a number between limits, or one or more words of a list (parted by spaces)."""

    key: Key
    meaning: Line
    low: int | None = None
    high: int | None = None
    words: list[str] = []
    several: bool = False
    default: str | int


class DrawingFront(Strict):
    """A drawing's front matter. The description may use the parameters, as the drawing does. Size in user units."""

    title: Line
    description: Annotated[str, Field(min_length=20, max_length=900)]
    width: Annotated[int, Field(ge=100, le=400)] = 360
    height: Annotated[int, Field(ge=60, le=400)] = 220
    marks: Annotated[int, Field(ge=0, le=4)] = 0
    param: list[Param] = []


@dataclass(frozen=True)
class Drawing:
    """A drawing read and ready to render."""

    name: str
    front: DrawingFront
    template: Template
    description: Template


@register.filter
def times(value: object, by: object) -> str:
    return _short(float(str(value)) * float(str(by)))


@register.filter
def plus(value: object, more: object) -> str:
    return _short(float(str(value)) + float(str(more)))


@register.filter
def minus(value: object, less: object) -> str:
    return _short(float(str(value)) - float(str(less)))


@register.filter
def then(value: object, more: object) -> str:
    """One text after another. Django's own `add` would add the numbers in them."""
    return f"{value}{more}"


@register.filter
def words(value: object) -> list[str]:
    """A text's words, to loop over or to look in."""
    return str(value).split()


@register.filter
def upto(first: object, last: object) -> list[str]:
    """The whole numbers from first to last, both included."""
    return [str(number) for number in range(int(str(first)), int(str(last)) + 1)]


@register.filter
def multiple(value: object, of: object) -> bool:
    return int(str(value)) % int(str(of)) == 0


@register.filter
def atleast(value: object, least: object) -> bool:
    return int(str(value)) >= int(str(least))


@register.filter
def gear(spec: object) -> SafeString:
    """Path data of a gear wheel from "x y radius teeth depth"."""
    x, y, radius, teeth, depth = (float(part) for part in str(spec).split())
    points = []
    for tooth in range(int(teeth)):
        for share, reach in ((0.0, 0.0), (0.18, depth), (0.44, depth), (0.62, 0.0)):
            turn = 2 * math.pi * (tooth + share) / teeth
            points.append(
                f"{x + (radius + reach) * math.cos(turn):.1f} {y + (radius + reach) * math.sin(turn):.1f}"
            )
    return mark_safe(f"M{'L'.join(points)}Z")  # noqa: S308 - figures only


@register.filter
def point(spec: object) -> str:
    """Where a point lies: "x y radius degrees" gives "x y". 0 degrees points right; degrees run clockwise."""
    x, y, radius, degrees = (float(part) for part in str(spec).split())
    turn = math.radians(degrees)
    return f"{_short(x + radius * math.cos(turn))} {_short(y + radius * math.sin(turn))}"


@register.filter
def zigzag(spec: object) -> str:
    """Path data of a screw thread's profile from "x y x_end pitch depth"."""
    x, y, end, pitch, depth = (float(part) for part in str(spec).split())
    steps = int((end - x) / pitch * 2)
    points = [f"{_short(x + step * pitch / 2)} {_short(y + depth * (step % 2))}" for step in range(steps + 1)]
    return f"M{'L'.join(points)}"


@register.filter
def mark(spec: object) -> SafeString:
    """A numbered mark from "number x y", with a leader to "x y" when two more figures are given."""
    number, x, y, *to = str(spec).split()
    leader = f'<path class="fine" d="M{x} {y}L{to[0]} {to[1]}"/>' if to else ""
    disc = f'<circle class="disc" cx="{x}" cy="{y}" r="11"/>'
    figure = f'<text class="num" x="{x}" y="{float(y) + 4.6:g}">{number}</text>'
    return mark_safe(f'<g class="mark">{leader}{disc}{figure}</g>')  # noqa: S308 - from our own files


def _short(number: float) -> str:
    return f"{round(number, 2):g}"


_engine = Engine(autoescape=True)
_engine.template_builtins.append(register)


def names() -> list[str]:
    """The name of every drawing."""
    return sorted(path.stem for path in FOLDER.glob("*.svg"))


@cache
def get(name: str) -> Drawing:
    """One drawing. Raises KeyError when there is none, LibraryError when its file is not right."""
    path = FOLDER / f"{name}.svg"
    if not path.is_file():
        raise KeyError(name)
    return load(path)


def load(path: Path) -> Drawing:
    """Read one drawing's file."""
    source = parse.read(path)
    front = parse.model(DrawingFront, path, source.front, 2)
    body = re.sub(r">\s+<", "><", source.body.strip())
    return Drawing(path.stem, front, _engine.from_string(body), _engine.from_string(front.description))


def drawing(name: str, **params: str | int) -> SafeString:
    """Render a drawing as an `<svg>` element. Raises BadFact for a parameter it does not know or cannot take.

    The same name and parameters always give the same text, ids included, so that a snapshot can be compared.
    """
    found = get(name)
    values = checked(found, params)
    ident = "d" + hashlib.sha256(repr((name, sorted(values.items()))).encode()).hexdigest()[:8]
    context = Context({**values, "id": ident}, use_l10n=False)
    return format_html(
        _FRAME,
        width=found.front.width,
        height=found.front.height,
        id=ident,
        title=found.front.title,
        description=found.description.render(context),
        body=found.template.render(context),
    )


def checked(found: Drawing, params: dict[str, str | int]) -> dict[str, str]:
    """Every parameter of a drawing as text, defaults put in."""
    known = {param.key: param for param in found.front.param}
    strays = sorted(set(params) - set(known))
    if strays:
        raise BadFact(strays[0], f"The drawing {found.name} has no parameter {strays[0]!r}.")
    return {key: _checked_value(param, params.get(key, param.default)) for key, param in known.items()}


def _checked_value(param: Param, value: str | int) -> str:
    text = str(value)
    if param.words:
        given = text.split()
        fits = set(given) <= set(param.words) and (param.several or len(given) == 1)
    else:
        fits = bool(re.fullmatch(r"-?\d{1,6}(\.\d{1,3})?", text)) and _inside(param, float(text))
    if not fits:
        raise BadFact(param.key, f"The drawing cannot show {text!r} for {param.meaning}.")
    return text


def _inside(param: Param, number: float) -> bool:
    return (param.low is None or number >= param.low) and (param.high is None or number <= param.high)
