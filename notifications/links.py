"""Addresses in letters: absolute, on our own host, from PUBLIC_BASE_URL alone (never from a request's Host).

Private links are written with a placeholder and get their key when the letter leaves; the same goes for the address that
leaves letters out, and for the figures of a code. The placeholder holds the letter's uid, so that nobody can put one into a text
of their own.
"""

from urllib.parse import urlsplit
from uuid import UUID

from django.conf import settings
from django.urls import reverse

from jobs.models import Job


def absolute(path: str) -> str:
    return f"{settings.PUBLIC_BASE_URL}{path}"


def host() -> str:
    """Our host as the right-hand side of identifiers (Message-ID, List-Id)."""
    name = urlsplit(settings.PUBLIC_BASE_URL).hostname or "localhost"
    return "localhost" if ":" in name else name


def message_id(uid: UUID) -> str:
    return f"<{uid.hex}@{host()}>"


def content_id(uid: UUID) -> str:
    """RFC 2392: the identifier of the picture inside, without the angle brackets."""
    return f"photo.{uid.hex}@{host()}"


def drawing_id(uid: UUID) -> str:
    """RFC 2392: the identifier of the library's drawing inside, without the angle brackets."""
    return f"drawing.{uid.hex}@{host()}"


def key_place(uid: UUID) -> str:
    return f"key-{uid.hex}"


def off_place(uid: UUID) -> str:
    return f"off-{uid.hex}"


def code_place(uid: UUID) -> str:
    """Where the six figures of a code will stand."""
    return f"code-{uid.hex}"


def open_page(key: str) -> str:
    return absolute(reverse("open_link", args=[key]))


def letters_off(token: str) -> str:
    return absolute(reverse("letters_off", args=[token]))


def bench_page(job: Job) -> str:
    return absolute(reverse("bench_job", args=[job.ref]))


def office_page(job: Job) -> str:
    return absolute(reverse("office_job", args=[job.ref]))
