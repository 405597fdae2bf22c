"""The first page: what the workshop does, book in, find your job."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from portal.access import for_everyone
from portal.door.asking import FindForm
from portal.door.closed import once_open


@require_safe
@for_everyone
@once_open
def home(request: HttpRequest) -> HttpResponse:
    return render(request, "customer/home.html", {"form": FindForm()})
