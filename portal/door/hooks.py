"""What a mail provider posts to us: /hooks/mail/<provider>/tracking/ and /inbound/, as django-anymail names them.

Only the provider that letters go out by is listened to, and only with WEBHOOK_SECRET (RFC 7617, over HTTPS); where it signs what it posts,
django-anymail checks that too. What does not prove itself changes nothing, nor does what was signed too long ago (`notifications.timely`).
"""

import json
import logging
import re
from typing import Any

from anymail.exceptions import AnymailError
from anymail.utils import get_request_basic_auth
from django.conf import settings
from django.core.exceptions import RequestDataTooBig
from django.http import Http404, HttpRequest, HttpResponse
from django.urls import Resolver404, resolve
from django.utils.crypto import constant_time_compare
from django.views.decorators.http import require_http_methods

from notifications.timely import is_timely
from portal.access import for_machine

log = logging.getLogger(__name__)

MOST_BYTES = 40 * 1024 * 1024  # a message of 25 MB in base 64, and what stands around it
# In JSON (RFC 8259 section 7): halves of a surrogate pair without the other half, which no text can hold, and NUL, which no column takes.
BROKEN = re.compile(
    rb"\\u[dD][89abAB][0-9a-fA-F]{2}\\u[dD][c-fC-F][0-9a-fA-F]{2}"
    rb"|(?P<bad>\\u(?:[dD][89a-fA-F][0-9a-fA-F]{2}|0000))|\\.",
    re.DOTALL,
)


@require_http_methods(["POST", "HEAD"])
@for_machine
def mail_hook(request: HttpRequest, provider: str, what: str) -> HttpResponse:
    """200 taken (so is a repetition, and what is set aside) · 400 not proved, or not to be understood · 404 no such provider here ·
    413 too large.
    """
    if not settings.MAIL_PROVIDER or provider != settings.MAIL_PROVIDER:
        raise Http404
    if not settings.ANYMAIL.get("WEBHOOK_SECRET"):
        log.error("a webhook was refused because ANYMAIL_WEBHOOK_SECRET is not set")
        return HttpResponse(status=403)
    if request.method == "POST" and not _is_proved(request):
        log.warning("a webhook of %s was refused: it does not prove itself", provider)
        return HttpResponse(status=400)
    try:
        view = resolve(f"/{provider}/{what}/", urlconf="anymail.urls").func
    except Resolver404:
        raise Http404 from None
    if not _take_body(request):
        log.warning("a webhook of %s was larger than %d bytes", provider, MOST_BYTES)
        return HttpResponse(status=413)
    try:
        if request.method == "POST" and not _is_timely(request, provider):
            log.warning(
                "a webhook of %s was set aside: it was signed too long ago, or ahead of our clock", provider
            )
            return HttpResponse(status=200)  # it would be as old if they brought it again
        return view(request)
    except RequestDataTooBig:
        log.warning("a webhook of %s holds a form field that is too large", provider)
        return HttpResponse(status=413)
    except (AnymailError, ValueError, KeyError, TypeError, AttributeError, OverflowError) as wrong:
        # Of a stranger's making, most likely. Its class alone is logged: the rest may hold what somebody wrote.
        log.warning("a webhook of %s was refused: %s", provider, type(wrong).__name__)
        return HttpResponse(status=400)


def _is_proved(request: HttpRequest) -> bool:
    """By its head alone, before a stranger can make us read a body."""
    secrets = settings.ANYMAIL["WEBHOOK_SECRET"]
    told = get_request_basic_auth(request) or ""
    known = [secrets] if isinstance(secrets, str) else secrets
    return any(constant_time_compare(told, one) for one in known)


def _is_timely(request: HttpRequest, provider: str) -> bool:
    """By the time that the signature covers beside the body or without it. Raises what a body raises that is not as it should be."""
    if provider == "sendgrid":
        signed: Any = request.headers.get("X-Twilio-Email-Event-Webhook-Timestamp")
    elif provider == "mailgun" and request.content_type == "application/json":
        signed = json.loads(request.body)["signature"]["timestamp"]
    elif provider == "mailgun":
        signed = request.POST["timestamp"]
    else:
        return True
    return signed is None or is_timely(float(signed))


def _take_body(request: HttpRequest) -> bool:
    """Read the body here: Django's own bound for bodies is meant for forms. Whether it was small enough."""
    kind = request.META.get("CONTENT_TYPE", "")
    if "multipart/form-data" in kind:
        return True  # files in it are kept on disk and not counted
    body = request.read(MOST_BYTES + 1)
    request._body = _mended(body) if "json" in kind else body  # type: ignore[attr-defined]
    return len(body) <= MOST_BYTES


def _mended(body: bytes) -> bytes:
    """With U+FFFD for what could be neither written nor kept: the provider would bring it again and again, and at last not at all."""
    return BROKEN.sub(lambda found: b"\\ufffd" if found["bad"] else found[0], body)
