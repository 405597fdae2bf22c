"""Pages for what went wrong. 400, 404 and 500 are templates of those names, shown by Django itself."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.http import url_has_allowed_host_and_scheme


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form from a page that is too old, often because of a log-in in another tab. Nothing was changed."""
    return render(request, "errors/csrf.html", {"back": page_of_the_form(request)}, status=403)


def page_of_the_form(request: HttpRequest) -> str:
    """The page of ours that the form stood on, as the browser tells it; else the first page."""
    page = request.headers.get("Referer", "")
    ours = url_has_allowed_host_and_scheme(
        page, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return page if ours else "/"
