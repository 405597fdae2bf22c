"""The explanations, open to all, each filled with its own examples."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from jobs.library import entries
from jobs.words import Mechanism
from portal.access import for_everyone


@require_safe
@for_everyone
def library(request: HttpRequest) -> HttpResponse:
    shelves = [
        (
            mechanism.label,
            [(entry, entry.sample()) for entry in entries().values() if entry.mechanism == mechanism],
        )
        for mechanism in Mechanism
    ]
    return render(
        request,
        "customer/library.html",
        {"shelves": [shelf for shelf in shelves if shelf[1]], "here": "library"},
    )


@require_safe
@for_everyone
def library_entry(request: HttpRequest, mechanism: str, slug: str) -> HttpResponse:
    entry = entries().get(f"{mechanism}/{slug}")
    if entry is None:
        raise Http404
    shown = entry.sample()
    context = {"entry": entry, "shown": shown, "shelf": Mechanism(entry.mechanism).label, "here": "library"}
    return render(request, "customer/library_entry.html", context)
