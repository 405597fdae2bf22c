"""A browser's own random number, kept in a cookie: by it we say "opened on two devices", and know a device again that signs.

It opens nothing and names nobody.
"""

from uuid import UUID, uuid4

from django.conf import settings
from django.http import HttpRequest, HttpResponse

COOKIE = "__Host-device" if settings.SECURE else "device"
KEPT_SECONDS = 180 * 24 * 3600


def of(request: HttpRequest) -> str:
    """The device's number, or "" where it has none or a made-up one."""
    try:
        return str(UUID(request.COOKIES.get(COOKIE, "")))
    except ValueError:
        return ""


def new() -> str:
    return str(uuid4())


def keep(response: HttpResponse, device: str) -> HttpResponse:
    """Let the browser keep its number."""
    response.set_cookie(
        COOKIE, device, max_age=KEPT_SECONDS, secure=settings.SECURE, httponly=True, samesite="Lax"
    )
    return response
