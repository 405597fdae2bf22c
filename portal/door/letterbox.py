"""Every letter as it was received on this machine: for the demo and for development, never for a real workshop."""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from email import policy
from email.message import EmailMessage, Message
from email.parser import BytesHeaderParser, BytesParser
from functools import wraps
from io import BytesIO
from pathlib import Path
from typing import Any

from csp.decorators import csp_update
from django.conf import settings
from django.core.paginator import Paginator
from django.http import FileResponse, Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from portal.access import for_everyone, in_staff_language
from portal.mail_view import SANDBOX, Picture, framed

ON_A_PAGE = 50
NAME = re.compile(r"[A-Za-z0-9.-]+\.eml")
TOLD_HEADERS = (
    *(
        "From",
        "To",
        "Reply-To",
        "Subject",
        "Date",
        "Message-ID",
        "In-Reply-To",
        "References",
        "Auto-Submitted",
    ),
    *("List-Id", "List-Unsubscribe", "List-Unsubscribe-Post"),
)


@dataclass(frozen=True)
class Attached:
    """A document in a letter, `n` from 1."""

    n: int
    name: str
    kind: str
    content: Any

    @property
    def size(self) -> int:
        return len(self.content)


@dataclass(frozen=True)
class Kept:
    """One letter in the box. `name` is its file's name."""

    name: str
    mail: EmailMessage

    @property
    def subject(self) -> str:
        return str(self.mail["Subject"] or "")

    @property
    def to(self) -> str:
        return str(self.mail["To"] or "")

    @property
    def at(self) -> datetime | None:
        """When it was received, from the file's name."""
        try:
            stamp = datetime.strptime(self.name.partition("Z-")[0] + "+0000", "%Y%m%dT%H%M%S.%f%z")
        except ValueError:
            return None
        return timezone.localtime(stamp)

    def headers(self) -> Iterator[tuple[str, str]]:
        for name in TOLD_HEADERS:
            for value in self.mail.get_all(name, []):
                yield name, str(value)

    def text(self) -> str:
        return self._content("plain")

    def html(self) -> str:
        return self._content("html")

    def pictures(self) -> dict[str, Picture]:
        """Source as the HTML names it (cid:...) -> type and bytes, of every picture inside."""
        found = [
            part for part in self.mail.walk() if part.get_content_maintype() == "image" and part["Content-ID"]
        ]
        return {f"cid:{_bare(part)}": (part.get_content_type(), part.get_content()) for part in found}

    def attached(self) -> list[Attached]:
        """What travels behind the words, in its order."""
        return [
            Attached(n, part.get_filename() or "", part.get_content_type(), part.get_content())
            for n, part in enumerate(self.mail.iter_attachments(), start=1)
        ]

    def _content(self, kind: str) -> str:
        part = self.mail.get_body((kind,))
        return str(part.get_content()) if part else ""


def in_the_demo(view: Callable[..., HttpResponseBase]) -> Callable[..., HttpResponseBase]:
    """404 anywhere else: these letters hold private links."""

    @wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        if not (settings.DEMO or settings.DEBUG):
            raise Http404
        return view(request, *args, **kwargs)

    return guarded


@require_safe
@for_everyone
@in_staff_language
@in_the_demo
def letterbox(request: HttpRequest) -> HttpResponse:
    page = Paginator(names(), ON_A_PAGE).get_page(request.GET.get("page"))
    letters = [Kept(name, _parse(name, BytesHeaderParser)) for name in page]
    return render(request, "door/letterbox.html", {"page": page, "letters": letters})


@require_safe
@for_everyone
@in_staff_language
@in_the_demo
@csp_update({"frame-src": ["'self'"]})
def letterbox_mail(request: HttpRequest, name: str) -> HttpResponse:
    return render(request, "door/letterbox_mail.html", {"letter": whole(name), "sandbox": SANDBOX})


@require_safe
@for_everyone
@in_staff_language
@in_the_demo
def letterbox_html(request: HttpRequest, name: str) -> HttpResponse:
    """The HTML of one letter, for its frame."""
    letter = whole(name)
    if not letter.html():
        raise Http404
    return framed(letter.html(), letter.pictures())


@require_safe
@for_everyone
@in_the_demo
def letterbox_attached(request: HttpRequest, name: str, n: int) -> HttpResponseBase:
    """A PDF that came with a letter, byte for byte. Nothing of another kind is shown."""
    found = next((each for each in whole(name).attached() if each.n == n), None)
    if found is None or found.kind != "application/pdf":
        raise Http404
    return FileResponse(BytesIO(found.content), content_type=found.kind, filename=found.name)


def _bare(part: Message) -> str:
    """The Content-ID without its brackets (RFC 2392)."""
    return str(part["Content-ID"]).strip("<> ")


def names() -> list[str]:
    """Newest first: a name begins with the time in UTC."""
    return sorted((path.name for path in Path(settings.LETTERBOX_DIR).glob("*.eml")), reverse=True)


def whole(name: str) -> Kept:
    if not NAME.fullmatch(name) or not (Path(settings.LETTERBOX_DIR) / name).is_file():
        raise Http404
    return Kept(name, _parse(name, BytesParser))


def _parse(name: str, parser: type[BytesParser] | type[BytesHeaderParser]) -> EmailMessage:
    with (Path(settings.LETTERBOX_DIR) / name).open("rb") as file:
        mail = parser(policy=policy.default).parse(file)
    assert isinstance(mail, EmailMessage)
    return mail
