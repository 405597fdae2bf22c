"""What happens to every request and every answer."""

from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.utils.translation import override

Answer = Callable[[HttpRequest], HttpResponse]

OFF = "accelerometer", "camera", "geolocation", "gyroscope", "microphone", "payment", "usb"
PERMISSIONS = ", ".join(f"{feature}=()" for feature in OFF)
NOT_FOR_SEARCH_ENGINES = ("/open/", "/my/", "/bench/", "/office/", "/letterbox/")


def say_little(get_response: Answer) -> Answer:
    """Private until a view says otherwise: nothing kept by a cache, nothing used by another site, nothing indexed."""

    def answer(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        response.headers.setdefault("Cache-Control", "private, no-store")
        response.headers.setdefault("Permissions-Policy", PERMISSIONS)
        response.headers.setdefault("Cross-Origin-Resource-Policy", "same-origin")
        if request.path.startswith(NOT_FOR_SEARCH_ENGINES):
            response.headers.setdefault("X-Robots-Tag", "noindex, nofollow")
        return response

    return answer


def in_the_workshops_time(get_response: Answer) -> Answer:
    """The "today" of a page is the workshop's today."""

    def answer(request: HttpRequest) -> HttpResponse:
        from portal import clock  # models are there only once the apps are loaded

        if request.path == "/healthz":  # has to answer even when the database does not
            return get_response(request)
        with timezone.override(clock.zone()):
            return get_response(request)

    return answer


def in_the_visitors_language(get_response: Answer) -> Answer:
    """What is spoken to somebody unknown. Pages of customers and staff put their own over it (portal/access.py)."""

    def answer(request: HttpRequest) -> HttpResponse:
        from portal import languages

        if request.path == "/healthz":
            return get_response(request)
        for_admin = settings.ADMIN_PATH and request.path.startswith(f"/{settings.ADMIN_PATH}/")
        language = languages.of_staff() if for_admin else languages.of_visitor(request)
        with override(language):
            response = get_response(request)
        response.headers.setdefault("Content-Language", language)
        return response

    return answer
