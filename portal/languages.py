"""Which language a page speaks.

A customer's page speaks the language that is kept with the customer, whoever looks at it. Bench, office and editor speak the
workshop's language; only British English is offered to who works here. Every other page speaks what was chosen on this device
(a cookie that holds nothing else), else what the browser asks for among ours, else the workshop's language.
"""

from time import monotonic

from babel import Locale
from django.conf import settings
from django.http import HttpRequest
from django.utils.translation import get_language, get_supported_language_variant, to_locale
from django.utils.translation.trans_real import parse_accept_lang_header

from jobs.models import Customer, Workshop

STAFFS = ("en-gb",)
REMEMBERED_SECONDS = 30.0

_workshops = settings.LANGUAGE_CODE
_until = 0.0


def offered() -> list[tuple[str, str]]:
    """Code and own name of each language of customers."""
    return list(settings.LANGUAGES)


def is_offered(code: str) -> bool:
    return code in dict(settings.LANGUAGES)


def of_customer(customer: Customer) -> str:
    """Theirs; the workshop's where it is one that we no longer have."""
    return customer.language if is_offered(customer.language) else of_workshop()


def unlike_ours(customer: Customer) -> str:
    """The name of the language that a customer reads, in the language of the page: "German". "" where it is the workshop's."""
    theirs = of_customer(customer)
    if theirs == of_workshop():
        return ""
    named = Locale.parse(to_locale(theirs)).get_language_name(to_locale(get_language() or STAFFS[0]))
    return named or theirs


def of_staff() -> str:
    """The workshop's, if it is one that staff pages are written in."""
    return of_workshop() if of_workshop() in STAFFS else STAFFS[0]


def of_visitor(request: HttpRequest) -> str:
    """For somebody of whom we know nothing: chosen on this device, or asked for by the browser, or the workshop's."""
    chosen = request.COOKIES.get(settings.LANGUAGE_COOKIE_NAME, "")
    return chosen if is_offered(chosen) else _asked_for(request) or of_workshop()


def of_workshop() -> str:
    """Asked of the database twice a minute at most."""
    if monotonic() >= _until:
        house = Workshop.objects.current()
        remember(house.language if house and is_offered(house.language) else settings.LANGUAGE_CODE)
    return _workshops


def remember(code: str, seconds: float = REMEMBERED_SECONDS) -> None:
    """Take this for the workshop's language for the next `seconds` without asking."""
    global _workshops, _until
    _workshops, _until = code, monotonic() + seconds


def _asked_for(request: HttpRequest) -> str:
    """The first language of Accept-Language (RFC 9110, 12.5.4) that is among ours, "en-us" being English; or nothing."""
    for code, quality in parse_accept_lang_header(request.headers.get("Accept-Language", "")):
        if code == "*" or not quality:
            return ""
        try:
            return get_supported_language_variant(code)
        except LookupError:
            continue
    return ""
