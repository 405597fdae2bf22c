"""What a mail provider posts to us: /hooks/mail/<provider>/tracking/ and /inbound/, as django-anymail names them.

Only the provider that letters go out by is listened to, and only with WEBHOOK_SECRET (RFC 7617, over HTTPS); where it signs what it posts,
django-anymail checks that too. What does not prove itself changes nothing.
"""

import logging

from anymail.exceptions import AnymailError
from django.conf import settings
from django.core.exceptions import RequestDataTooBig
from django.http import Http404, HttpRequest, HttpResponse
from django.urls import Resolver404, resolve
from django.views.decorators.http import require_http_methods

from portal.access import for_machine

log = logging.getLogger(__name__)

MOST_BYTES = 40 * 1024 * 1024  # a message of 25 MB in base 64, and what stands around it


@require_http_methods(["POST", "HEAD"])
@for_machine
def mail_hook(request: HttpRequest, provider: str, what: str) -> HttpResponse:
    """200 taken (also for a repetition) · 400 not proved, or not to be understood · 404 no such provider here · 413 too large."""
    if not settings.MAIL_PROVIDER or provider != settings.MAIL_PROVIDER:
        raise Http404
    if not settings.ANYMAIL.get("WEBHOOK_SECRET"):
        log.error("a webhook was refused because ANYMAIL_WEBHOOK_SECRET is not set")
        return HttpResponse(status=403)
    try:
        view = resolve(f"/{provider}/{what}/", urlconf="anymail.urls").func
    except Resolver404:
        raise Http404 from None
    if not _take_body(request):
        log.warning("a webhook of %s was larger than %d bytes", provider, MOST_BYTES)
        return HttpResponse(status=413)
    try:
        return view(request)
    except RequestDataTooBig:
        log.warning("a webhook of %s holds a form field that is too large", provider)
        return HttpResponse(status=413)
    except (AnymailError, ValueError, KeyError, TypeError, AttributeError) as wrong:
        # Of a stranger's making, most likely. Its class alone is logged: the rest may hold what somebody wrote.
        log.warning("a webhook of %s was refused: %s", provider, type(wrong).__name__)
        return HttpResponse(status=400)


def _take_body(request: HttpRequest) -> bool:
    """Read the body here: Django's own bound for bodies is meant for forms. Whether it was small enough."""
    if "multipart/form-data" in request.META.get("CONTENT_TYPE", ""):
        return True  # files in it are kept on disk and not counted
    request._body = request.read(MOST_BYTES + 1)  # type: ignore[attr-defined]
    return len(request._body) <= MOST_BYTES  # type: ignore[attr-defined]
