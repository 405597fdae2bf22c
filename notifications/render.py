"""A letter's words: subject, plain text and HTML from templates/letters/<kind>/, in the reader's language and the workshop's time.

Each kind's words are written once. Alone they stand in the frame of a letter (letters/base); in company each becomes a section
(letters/section), and letters/gathered is the frame around them.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.template import Context
from django.template.loader import get_template
from django.utils import timezone
from django.utils.safestring import mark_safe

from jobs.models import Workshop
from jobs.speaking import speaking
from notifications import contents, links, own_words
from notifications.drawn import drawing_for
from notifications.models import Letter
from notifications.pictures import Picture
from notifications.plaintext import tidy
from notifications.styles import STYLES

IMAGE = re.compile(r"<!--(picture|drawing)-->.*?<!--/\1-->", re.DOTALL)
LONGEST_SUBJECT = 200
Words = dict[str, Any]
Part = tuple[Letter, Picture | None]


@dataclass(frozen=True)
class Written:
    subject: str
    text: str
    html: str


def written(letter: Letter, picture: Picture | None, own: str | None = None) -> Written:
    """Render the three parts. `own`: other words of the owner's than those that are kept. Raises whatever a template raises."""
    house = Workshop.objects.current()
    with speaking(letter.language, house):
        context = _context(letter, letter, house, picture)
        if own is not None:
            context["own_words"] = own
        text, html = _body(letter.kind, "base", context)
        return Written(context["subject"], tidy(text), html)


def gathered(letter: Letter, parts: Iterable[Part]) -> Written:
    """Render what several letters say as one: `letter` is the one that goes, `parts` all of them in the order of the journal."""
    house = Workshop.objects.current()
    with speaking(letter.language, house):
        parts = list(parts)
        told = [
            _told(letter, part, house, picture, parts[n + 1 :]) for n, (part, picture) in enumerate(parts)
        ]
        news = list(dict.fromkeys(each["news"] for each in told if each["news"]))
        days = {timezone.localdate(each["day"]) for each in told}
        frame = _context(letter, letter, house, None) | {
            "sections": told,
            "n": len(told),
            "newest": news[-1] if news else "",
            "news": "; ".join(news),
            "on_several_days": len(days) > 1,
            "day": told[-1]["day"],
            "own_words": "",
        }
        subject = _line("letters/gathered_subject.txt", frame)
        text = tidy(_plain("letters/gathered.txt", frame))
        return Written(subject, text, _html("letters/gathered.html", {**frame, "subject": subject}))


def empty_frame(kind: str, language: str, own: str) -> str:
    """HTML in which the owner's words stand at their place, for a kind of which no letter has been written yet."""
    house = Workshop.objects.current()
    with speaking(language, house):
        about = own_words.about(kind)
        shown = {
            "house": house,
            "day": timezone.now(),
            "s": STYLES,
            "own_words": own,
            "about": about,
            "link": "#",
        }
        return _html("letters/sample.html", shown)


def subject_of(letter: Letter, item: str = "") -> str:
    """Its subject alone, for ways that carry no more. `item` stands in place of the item's name where that is too long."""
    house = Workshop.objects.current()
    with speaking(letter.language, house):
        context = _context(letter, letter, house, None)
        return _line(f"letters/{letter.kind}/subject.txt", context | ({"item": item} if item else {}))


def without_image(html: str, content_id: str = "") -> str:
    """The HTML without the place for the picture of that identifier (RFC 2392), or for any."""
    return IMAGE.sub(lambda found: "" if f"cid:{content_id}" in found[0] else found[0], html)


def _told(
    letter: Letter, part: Letter, house: Workshop | None, picture: Picture | None, after: list[Part]
) -> Words:
    """What one of several letters says: its two bodies, its day, and its subject without what all subjects share.

    It knows the kinds of what comes `after` it, so that nothing is said twice or is out of date a line later.
    """
    context = _context(letter, part, house, picture) | {
        "followed_by": {each.kind for each, _picture in after}
    }
    text, html = _body(part.kind, "section", context)
    news = _news(context["subject"], context["item"], context["ref"])
    return {"text": text, "html": mark_safe(html), "news": news, "day": part.entry.at}  # noqa: S308 - rendered by templates


def _news(subject: str, item: str, ref: str) -> str:
    """ "Your Corvane Skerry: it arrived (K7-M2)" -> "it arrived"; "" for a subject of another form."""
    _before, item_found, rest = subject.partition(f"{item}: ")
    news, ref_found, after = rest.rpartition(f" ({ref})")
    return news if item_found and ref_found and not after else ""


def _line(name: str, context: Words) -> str:
    return " ".join(_plain(name, context).split())[:LONGEST_SUBJECT]


def _body(kind: str, frame: str, context: Words) -> tuple[str, str]:
    """Plain text, its lines not filled yet, and HTML, in the frame of that name. Notes the subject in `context`."""
    context["subject"] = _line(f"letters/{kind}/subject.txt", context)
    text = _plain(f"letters/{kind}/body.txt", {**context, "layout": f"letters/{frame}.txt"})
    return text, _html(f"letters/{kind}/body.html", {**context, "layout": f"letters/{frame}.html"})


def _html(name: str, context: Words) -> str:
    return str(get_template(name).render(context))


def _plain(name: str, context: Words) -> str:
    """Plain text is no markup, so nothing in it is escaped. Only `.txt` templates come here."""
    template = get_template(name).template  # type: ignore[attr-defined]
    rendered: str = template.render(Context(context, autoescape=False))
    return rendered


def _context(letter: Letter, part: Letter, house: Workshop | None, picture: Picture | None) -> Words:
    """What `part` says inside `letter`, which holds the links; mostly the two are one."""
    job = letter.job
    common: Words = {
        "house": house,
        "job": job,
        "item": job.item.name,
        "ref": job.shown_ref,
        "customer": job.customer,
        "called": job.customer.called,
        "day": part.entry.at,
        "essential": letter.essential,
        "to_workshop": letter.is_to_the_workshop,
        "own_words": "" if letter.is_to_the_workshop else own_words.words_for(part.kind, letter.language),
        "link": _link(letter),
        "code": links.code_place(letter.uid),
        "off_link": links.letters_off(links.off_place(letter.uid)),
        "picture": picture,
        "content_id": links.content_id(part.uid),
        "drawn": drawing_for(part.entry, part.kind),
        "drawing_id": links.drawing_id(part.uid),
        "followed_by": frozenset(),
        "s": STYLES,
    }
    return common | contents.about(part.kind, part.entry)


def _link(letter: Letter) -> str:
    """The one link: the customer's private one, still without its key, or the workshop's own page, which asks for a log-in."""
    if letter.is_to_the_workshop:
        return links.bench_page(letter.job)
    return links.open_page(links.key_place(letter.uid))
