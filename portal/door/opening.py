"""The private link: its key is exchanged for a session and leaves the address bar. A dead one offers a fresh one."""

import time

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from jobs.actions.linking import find_link, note_opening
from jobs.models import PrivateLink
from portal import device, this_browser
from portal.access import OPENED, for_everyone
from portal.answers import see_other
from portal.door import asking
from portal.limits import network, take
from portal.sessions import under_a_new_key

LINKS_IN_A_SESSION = 50  # a browser that opened more forgets the oldest


@require_http_methods(["GET", "HEAD"])
@for_everyone
def open_link(request: HttpRequest, key: str) -> HttpResponse:
    """GET starts the session and goes on to the job. Nothing hangs on it: mail scanners open links too. HEAD does nothing."""
    if request.method == "HEAD":
        return _quiet(HttpResponse())
    link = find_link(key)
    if link is None or not PrivateLink.objects.live().filter(pk=link.pk).exists():
        return _quiet(render(request, "door/gone.html", {"key": key}, status=410))
    _remember(request, link)
    return _note_device(request, _quiet(see_other(request, reverse("my", args=[link.job.shown_ref]))), link)


@require_POST
@for_everyone
def new_link(request: HttpRequest) -> HttpResponse:
    """Send a new link in place of a dead one, to the address on file. The same words for a key that never was one."""
    started = time.monotonic()
    if not take(f"new-link:{network(request)}", asking.ASKS, asking.ASKS_SECONDS):
        return render(request, "door/too_often.html", status=429)
    if link := find_link(request.POST.get("key", "")):
        asking.ask(link.job)
    asking.take_as_long_as_ever(started)
    return see_other(request, reverse("link_asked"))


@require_POST
@for_everyone
def forget_device(request: HttpRequest) -> HttpResponse:
    """Forget on this device every job that was opened on it. Who works here stays logged in."""
    this_browser.forget(request)
    request.session.pop(OPENED, None)
    if not request.user.is_authenticated:
        request.session.flush()
    response = see_other(request, reverse("home"))
    response.delete_cookie(device.COOKIE)
    return response


def _remember(request: HttpRequest, link: PrivateLink) -> None:
    """A new session key, so that a session that somebody else planted in this browser opens nothing."""
    under_a_new_key(request.session)
    opened = {**request.session.get(OPENED, {}), link.job.ref: link.pk}
    request.session[OPENED] = dict(list(opened.items())[-LINKS_IN_A_SESSION:])


def _note_device(request: HttpRequest, response: HttpResponse, link: PrivateLink) -> HttpResponse:
    this = device.of(request) or device.new()
    if take(f"devices:{link.pk}", 30, 3600):
        note_opening(link, this)
    return device.keep(response, this)


def _quiet(response: HttpResponse) -> HttpResponse:
    """The key stands in this page's address: no page that is opened from here may learn it."""
    response["Referrer-Policy"] = "no-referrer"
    return response
