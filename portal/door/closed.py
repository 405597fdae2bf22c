"""Before the first run there is no workshop: customers read that plainly instead of a page without a name."""

from functools import wraps
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from jobs.models import Workshop
from portal.access import View


def once_open(view: View) -> View:
    """Stands below an access decorator."""

    @wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if Workshop.objects.current() is None:
            return render(request, "door/not_set_up.html", status=503)
        return view(request, *args, **kwargs)

    return guarded
