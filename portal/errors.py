"""Pages for what went wrong."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form from a page that is too old, often because of a log-in in another tab. Nothing was changed."""
    return render(request, "errors/csrf.html", status=403)
