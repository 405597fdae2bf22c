"""What the tests of the customer's pages share."""

import html
import io
import re
from uuid import uuid4

from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from PIL import Image

from jobs.models import Job, Quote

HTMX = {"HX-Request": "true"}


def to(page: str, job: Job, *more: object) -> str:
    return reverse(page, args=[job.shown_ref, *more])


def jpeg(name: str = "camera.jpg", shade: int = 90) -> SimpleUploadedFile:
    """A small true photograph."""
    kept = io.BytesIO()
    Image.new("RGB", (640, 480), (shade, 80, 70)).save(kept, "JPEG")
    return SimpleUploadedFile(name, kept.getvalue(), "image/jpeg")


def booking_typed(**changed: object) -> dict[str, object]:
    """A booking form as somebody fills it in."""
    return {
        "maker": "Corvane",
        "model": "Skerry",
        "serial": "418203",
        "kind": "rangefinder",
        "story": "It fell on the quay half-way through my holiday. Did I break it?",
        "noticed_when": "In August",
        "film_inside": "unsure",
        "opened_before": "no",
        "name": "Orla Fennimore",
        "email": "orla@example.org",
        "telephone": "01632 960142",
        "return_by": "post",
        "address": "3 Quay Lane\nSaltmere",
        "once": str(uuid4()),
        **changed,
    }


def answer_typed(quote: Quote, yes: list[str] | None = None, **changed: object) -> dict[str, object]:
    """An answer as somebody fills it in: yes to the lines of these needs."""
    wanted = ["needed"] if yes is None else yes
    lines = [line for line in quote.lines.asked() if not line.is_fixed]
    return {
        "quote": quote.pk,
        "shown_hash": quote.shown_hash,
        **{f"line-{line.pk}": "yes" if line.need in wanted else "no" for line in lines},
        "name": "Orla Fennimore",
        "terms": "on",
        **changed,
    }


def words_of(page: str) -> str:
    """A page's text as a person reads it: no tags, single spaces."""
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", page)).split())


def chosen_in(page: str, name: str) -> str | None:
    """The value of the radio that is checked."""
    for tag in re.findall(rf'<input[^>]*name="{name}"[^>]*>', page):
        if " checked" in tag:
            return re.search(r'value="([^"]*)"', tag).group(1)
    return None


def follow(client: Client, response: object) -> str:
    """The page that a 303 leads to."""
    assert response.status_code == 303, response.status_code
    return client.get(response["Location"], follow=True).text
