"""A letter's words: subject, plain text and HTML from templates/letters/<kind>/, in the reader's language and the workshop's time."""

import re
from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from django.template import Context
from django.template.loader import get_template
from django.utils import timezone
from django.utils.translation import override

from jobs.models import Workshop
from notifications import contents, links
from notifications.drawn import drawing_for
from notifications.models import Letter
from notifications.pictures import Picture
from notifications.plaintext import tidy
from notifications.styles import STYLES

PICTURE = re.compile(r"<!--picture-->.*?<!--/picture-->", re.DOTALL)
DRAWING = re.compile(r"<!--drawing-->.*?<!--/drawing-->", re.DOTALL)
LONGEST_SUBJECT = 200


@dataclass(frozen=True)
class Written:
    subject: str
    text: str
    html: str


def written(letter: Letter, picture: Picture | None) -> Written:
    """Render the three parts. Raises whatever a template or a missing row raises."""
    house = Workshop.objects.current()
    zone = ZoneInfo(house.time_zone) if house else timezone.get_default_timezone()
    with override(letter.language), timezone.override(zone):
        context = _context(letter, house, picture)
        subject = " ".join(_plain(f"letters/{letter.kind}/subject.txt", context).split())
        text = tidy(_plain(f"letters/{letter.kind}/body.txt", context))
        html = get_template(f"letters/{letter.kind}/body.html").render({**context, "subject": subject})
    return Written(subject[:LONGEST_SUBJECT], text, html)


def without_picture(html: str) -> str:
    """The HTML without the place for the photograph."""
    return PICTURE.sub("", html)


def without_drawing(html: str) -> str:
    """The HTML without the place for the library's drawing."""
    return DRAWING.sub("", html)


def _plain(name: str, context: dict[str, Any]) -> str:
    """Plain text is no markup, so nothing in it is escaped. Only `.txt` templates come here."""
    template = get_template(name).template  # type: ignore[attr-defined]
    rendered: str = template.render(Context(context, autoescape=False))
    return rendered


def _context(letter: Letter, house: Workshop | None, picture: Picture | None) -> dict[str, Any]:
    job = letter.job
    common = {
        "house": house,
        "job": job,
        "item": job.item.name,
        "ref": job.shown_ref,
        "customer": job.customer,
        "called": job.customer.called,
        "day": letter.entry.at,
        "essential": letter.essential,
        "to_workshop": letter.is_to_the_workshop,
        "link": _link(letter),
        "code": links.code_place(letter.uid),
        "off_link": links.letters_off(links.off_place(letter.uid)),
        "picture": picture,
        "content_id": links.content_id(letter.uid),
        "drawn": drawing_for(letter.entry, letter.kind),
        "drawing_id": links.drawing_id(letter.uid),
        "s": STYLES,
    }
    return common | contents.about(letter.kind, letter.entry)


def _link(letter: Letter) -> str:
    """The one link: the customer's private one, still without its key, or the workshop's own page, which asks for a log-in."""
    if letter.is_to_the_workshop:
        return links.bench_page(letter.job)
    return links.open_page(links.key_place(letter.uid))
