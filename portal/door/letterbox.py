"""Every letter as it was received on this machine: for the demo and for development, never for a real workshop."""

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime
from email import policy
from email.message import EmailMessage, Message
from email.parser import BytesHeaderParser, BytesParser
from functools import cached_property, wraps
from io import BytesIO
from itertools import groupby
from pathlib import Path
from typing import Any, Protocol, TypeVar

from django.conf import settings
from django.core.paginator import Paginator
from django.db.models import Count, Min
from django.http import FileResponse, Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from jobs.words import Way
from notifications.models import Letter
from portal.access import for_everyone, in_staff_language
from portal.mail_view import Picture, framed

ON_A_PAGE = 50
LONGEST_HEAD = 64 * 1024  # bytes; a letter's pictures are not read for its line in the list
NAME = re.compile(r"[A-Za-z0-9.-]+\.eml")
END_OF_HEAD = re.compile(rb"(?<=\n)\r?\n")
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

    @cached_property  # a header is read anew each time that it is asked for
    def at(self) -> datetime | None:
        """When it was sent, as it says itself; else when it was received, from the file's name."""
        said: datetime | None = self.mail["Date"].datetime if self.mail["Date"] else None
        if said and said.tzinfo:
            return timezone.localtime(said)
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
    told = {"page": page, "days": by_day(map(_head, page)), "put_off": put_off(Way.EMAIL)}
    return render(request, "door/letterbox.html", told)


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


class Dated(Protocol):
    @property
    def at(self) -> datetime | None: ...


Each = TypeVar("Each", bound=Dated)


def by_day(came: Iterable[Each]) -> list[tuple[date | None, list[Each]]]:
    """Newest first, under the days of the workshop's calendar."""
    undated = datetime.min.replace(tzinfo=UTC)
    ordered = sorted(came, key=lambda each: each.at or undated, reverse=True)
    days = groupby(ordered, key=lambda each: each.at.date() if each.at else None)
    return [(day, list(those)) for day, those in days]


def put_off(*ways: Way) -> dict[str, Any]:
    """How many letters by these ways still wait for their time (`n`), and when the first of them goes (`first`)."""
    waiting = Letter.objects.put_off().filter(channel__in=ways)
    return waiting.aggregate(n=Count("pk"), first=Min("next_attempt_at"))


def _bare(part: Message) -> str:
    """The Content-ID without its brackets (RFC 2392)."""
    return str(part["Content-ID"]).strip("<> ")


def names() -> list[str]:
    """Newest first: a name begins with the time in UTC."""
    return sorted((path.name for path in Path(settings.LETTERBOX_DIR).glob("*.eml")), reverse=True)


def whole(name: str) -> Kept:
    if not NAME.fullmatch(name) or not (Path(settings.LETTERBOX_DIR) / name).is_file():
        raise Http404
    mail = BytesParser(policy=policy.default).parsebytes((Path(settings.LETTERBOX_DIR) / name).read_bytes())
    assert isinstance(mail, EmailMessage)
    return Kept(name, mail)


def _head(name: str) -> Kept:
    with (Path(settings.LETTERBOX_DIR) / name).open("rb") as file:
        raw = file.read(LONGEST_HEAD)
    mail = BytesHeaderParser(policy=policy.default).parsebytes(END_OF_HEAD.split(raw, maxsplit=1)[0])
    assert isinstance(mail, EmailMessage)
    return Kept(name, mail)
