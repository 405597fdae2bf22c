"""Who may see what. Every view carries one of these decorators; a test walks the URLconf and fails for one that does not.

`for_everyone` anybody · `for_customer` who came in by this job's private link (staff may read, not act) · `for_staff` technician or owner ·
`for_owner` the owner · `for_machine` a program that proves itself in its own way (no cookies, no CSRF token).

They also say which language a page speaks (portal/languages.py): the customer's, the workshop's, or what the visitor asked for.
"""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.template.response import SimpleTemplateResponse
from django.urls import reverse
from django.utils.cache import patch_vary_headers
from django.utils.translation import override
from django.views.decorators.csrf import csrf_exempt
from django_htmx.http import HttpResponseClientRedirect

from jobs import refs
from jobs.actor import Actor
from jobs.models import Job, PrivateLink, Staff
from portal import languages

View = Callable[..., HttpResponse]
OPENED = "opened"  # session key: {reference: primary key of the link that opened it}


def for_everyone(view: View) -> View:
    @wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        return _varying(view(request, *args, **kwargs))

    return _marked(guarded, "everyone")


def for_machine(view: View) -> View:
    return _marked(csrf_exempt(view), "machine")


def for_customer(view: View) -> View:
    """Calls `view(request, job, ...)` for the job named `ref` in the address; the same answer for a stranger and for no such job."""

    @wraps(view)
    def guarded(request: HttpRequest, ref: str, *args: Any, **kwargs: Any) -> HttpResponse:
        if link := live_link(request, ref):
            request.actor = Actor.customer(link.job.customer)
            request.link = link
            return _speaking(
                languages.of_customer(link.job.customer), view, request, link.job, *args, **kwargs
            )
        if is_staff(request) and request.method in ("GET", "HEAD"):
            if job := Job.objects.with_people().filter(ref=_tidy(ref)).first():
                request.actor = Actor.staff(request.user)
                request.link = None
                return _speaking(languages.of_customer(job.customer), view, request, job, *args, **kwargs)
        return _closed(request)

    return _marked(guarded, "customer")


def for_staff(view: View) -> View:
    @wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if not is_staff(request):
            return _to_login(request)
        request.actor = Actor.staff(request.user)
        return _speaking(languages.of_staff(), view, request, *args, **kwargs)

    return _marked(guarded, "staff")


def for_owner(view: View) -> View:
    @wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if not is_staff(request):
            return _to_login(request)
        if not request.user.is_owner:
            return _speaking(languages.of_staff(), render, request, "errors/owner_only.html", status=403)
        request.actor = Actor.staff(request.user)
        return _speaking(languages.of_staff(), view, request, *args, **kwargs)

    return _marked(guarded, "owner")


def in_staff_language(view: View) -> View:
    """Stands below `for_everyone` on pages that only who works here needs: the log-in, the first run, the letterbox."""

    @wraps(view)
    def spoken(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        return _speaking(languages.of_staff(), view, request, *args, **kwargs)

    return spoken


def staff_in_their_language(view: View) -> View:
    """Stands below `for_everyone` on pages that staff have in a frame of their own; everybody else reads them as a visitor."""

    @wraps(view)
    def spoken(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if is_staff(request):
            return _speaking(languages.of_staff(), view, request, *args, **kwargs)
        return view(request, *args, **kwargs)

    return spoken


def is_staff(request: HttpRequest) -> bool:
    return isinstance(request.user, Staff) and request.user.is_active


def live_link(request: HttpRequest, ref: str) -> PrivateLink | None:
    """The private link by which this browser opened the job, if it is still alive; the job comes along."""
    key = request.session.get(OPENED, {}).get(_tidy(ref))
    if key is None:
        return None
    links = PrivateLink.objects.live().with_job().filter(pk=key, job__ref=_tidy(ref))
    return next(
        iter(links), None
    )  # first() would put the one row in order, at the price of naming every column again


def _tidy(ref: str) -> str:
    try:
        return refs.tidy(ref)
    except refs.BadRef:
        return ""


def _speaking(language: str, view: View, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
    with override(language):
        response = view(request, *args, **kwargs)
        # Django's own log-in would be rendered later, in another language.
        if isinstance(response, SimpleTemplateResponse):
            response.render()
    response.headers.setdefault("Content-Language", language)
    return response


def _varying(response: HttpResponse) -> HttpResponse:
    """The same address says it in another language to another browser."""
    patch_vary_headers(response, ("Accept-Language", "Cookie"))
    return response


def _marked(view: View, access: str) -> View:
    view.access = access
    return view


def _to_login(request: HttpRequest) -> HttpResponse:
    if request.headers.get("HX-Request"):
        # A redirect would be followed out of sight and the log-in page swapped into a fragment.
        return HttpResponseClientRedirect(reverse("login"))
    return redirect_to_login(request.get_full_path())


def _closed(request: HttpRequest) -> HttpResponse:
    if request.headers.get("HX-Request"):
        # The page stays, with whatever is being typed, and offers to be loaded again (portal.js); a live region fails in silence.
        return HttpResponse(status=403)
    return _varying(render(request, "errors/private.html", status=403))
