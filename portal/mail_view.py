"""Showing a letter's HTML as its reader will see it, without letting it touch our pages.

It comes from an address of its own into a sandboxed frame: no scripts, no forms, nothing loaded from anywhere. Inline styles are
allowed there alone, because mail needs them; pictures come out of the letter itself. A link in it opens in the whole window.
"""

import base64
import re
from collections.abc import Mapping

from django.http import HttpResponse

SANDBOX = "allow-popups allow-popups-to-escape-sandbox allow-top-navigation-by-user-activation"
POLICY = (
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; form-action 'none'; base-uri 'none'; "
    f"frame-ancestors 'self'; sandbox {SANDBOX}"
)
SOURCE = re.compile(r"(?<=\bsrc=)([\"'])([^\"']+)\1")
HEAD = re.compile(r"<head\b[^>]*>", re.IGNORECASE)

Picture = tuple[str, bytes]  # content type, bytes


def framed(html: str, pictures: Mapping[str, Picture]) -> HttpResponse:
    """The letter as a page for a frame. `pictures`: the source that the letter names ("cid:...", an address) -> picture."""
    response = HttpResponse(_links_leave_the_frame(_inlined(html, pictures)))
    response["Content-Security-Policy"] = POLICY
    response["X-Frame-Options"] = "SAMEORIGIN"
    response["Referrer-Policy"] = "no-referrer"
    return response


def _inlined(html: str, pictures: Mapping[str, Picture]) -> str:
    def data(found: re.Match[str]) -> str:
        picture = pictures.get(found[2])
        if picture is None or not picture[0].startswith("image/"):
            return found[0]
        return f'"data:{picture[0]};base64,{base64.b64encode(picture[1]).decode()}"'

    return SOURCE.sub(data, html)


def _links_leave_the_frame(html: str) -> str:
    base = '<base target="_top">'
    return HEAD.sub(lambda head: head[0] + base, html, count=1) if HEAD.search(html) else base + html
