"""The answer to a form that was taken."""

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django_htmx.http import HttpResponseClientRedirect


def see_other(request: HttpRequest, to: str) -> HttpResponse:
    """Go on to a page: 303 without htmx; with it a header, because a redirect would be followed out of sight."""
    if request.headers.get("HX-Request"):
        return HttpResponseClientRedirect(to)
    return HttpResponseRedirect(to, status=303)
