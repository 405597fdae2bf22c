"""A letter as it reads, for the office: with its pictures, and with links that lead nowhere."""

from dataclasses import dataclass

from django.urls import reverse

from jobs.darkroom import store
from jobs.words import Way
from notifications import links, pictures, render
from notifications.drawn import drawing_for, png
from notifications.models import Letter
from notifications.parts import parts_of

SAMPLE_PHOTO_WIDTH = 800
Images = dict[str, tuple[str, bytes]]  # source as the HTML names it -> content type and bytes


@dataclass(frozen=True)
class Preview:
    """A letter as it reads, for the office. Its links lead nowhere: the office must not come in as the customer."""

    subject: str
    text: str
    html: str


def preview(letter: Letter) -> Preview:
    """The kept words with dead links; pictures come from our own address of photographs."""
    html = letter.html
    for part in parts_of(letter):
        if part.photo:
            html = html.replace(f"cid:{links.content_id(part.uid)}", photo_address(part))
    return Preview(letter.subject, _without_keys(letter.text, letter), _without_keys(html, letter))


def photo_address(letter: Letter) -> str:
    """Where a preview shows its photograph."""
    assert letter.photo
    return reverse("photo", args=[letter.photo.uid, SAMPLE_PHOTO_WIDTH])


def images_inside(letter: Letter) -> Images:
    """Photographs and drawings of a letter and of what it carries: the source that its preview names -> content type and bytes."""
    inside: Images = {}
    for part in parts_of(letter):
        file = store.path(part.picture) if part.photo and part.picture else None
        if file is not None and file.is_file():
            inside[photo_address(part)] = ("image/jpeg", file.read_bytes())
        if drawing := _drawing_inside(part, letter.html):
            inside[drawing[0]] = ("image/png", drawing[1])
    return inside


def sample(kind: str, language: str, own: str) -> tuple[Preview, Images]:
    """How a letter of this kind reads with these words of the owner's: the newest one written anew, or an empty frame; and what it shows.

    Nothing is kept. Its links lead nowhere.
    """
    newest = Letter.objects.filter(kind=kind, channel=Way.EMAIL).exclude(text="").order_by("-pk")
    letter = newest.select_related("entry", "job__item", "job__customer", "person").first()
    if letter is None:
        return Preview("", "", render.empty_frame(kind, language, own)), {}
    letter.language, letter.urgent = language, True  # alone, as if it carried nothing
    picture = pictures.picture_for(letter.entry, kind)
    letter.photo, letter.picture = (picture.photo, picture.file) if picture else (None, "")
    written = render.written(letter, picture, own)
    letter.subject, letter.text, letter.html = written.subject, written.text, written.html
    return preview(letter), images_inside(letter)


def _drawing_inside(part: Letter, html: str) -> tuple[str, bytes] | None:
    """The library's drawing as the HTML names it ("cid:..."), and its PNG. None when there is none inside."""
    drawn = drawing_for(part.entry, part.kind) if links.drawing_id(part.uid) in html else None
    made = png(drawn) if drawn else None
    return (f"cid:{links.drawing_id(part.uid)}", made) if made else None


def _without_keys(part: str, letter: Letter) -> str:
    for place in (links.key_place, links.off_place, links.code_place):
        part = part.replace(place(letter.uid), "…")
    return part
