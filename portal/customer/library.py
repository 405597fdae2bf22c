"""The explanations, open to all, each filled with its own examples. Staff find the way to their own versions beside them."""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from jobs import collection
from jobs.library import find
from jobs.words import Mechanism
from portal.access import for_everyone, is_staff, staff_in_their_language
from portal.writing.drafts import waiting

LONGEST_LOOK = 200  # characters of a search that count
MOST_HITS = 8


@require_safe
@for_everyone
@staff_in_their_language
def library(request: HttpRequest) -> HttpResponse:
    """All explanations by the part of the camera, or those that answer to what is looked for."""
    look = request.GET.get("look", "").strip()[:LONGEST_LOOK]
    entries = collection.entries()
    shelves = [
        (mechanism.value, mechanism.label, [one for one in entries.values() if one.mechanism == mechanism])
        for mechanism in Mechanism
    ]
    context: dict[str, Any] = {
        "look": look,
        "hits": find(look, (), entries)[:MOST_HITS] if look else [],
        "shelves": [shelf for shelf in shelves if shelf[2]],
        "here": "library",
    }
    return render(request, "customer/library.html", context | (_for_staff() if is_staff(request) else {}))


@require_safe
@for_everyone
@staff_in_their_language
def library_entry(request: HttpRequest, mechanism: str, slug: str) -> HttpResponse:
    """One explanation, filled with its examples."""
    entry = collection.entries().get(f"{mechanism}/{slug}")
    if entry is None:
        raise Http404
    context: dict[str, Any] = {
        "entry": entry,
        "shown": entry.sample(),
        "shelf": Mechanism(entry.mechanism).label,
        "here": "library",
    }
    return render(
        request,
        "customer/library_entry.html",
        context | (_versions(entry.key) if is_staff(request) else {}),
    )


def _for_staff() -> dict[str, Any]:
    own = set(collection.in_use().values_list("key", flat=True))
    return {"for_staff": True, "page": "staff.html", "own": own, "drafts": waiting()}


def _versions(key: str) -> dict[str, Any]:
    mechanism, slug = key.split("/")
    return {
        "for_staff": True,
        "page": "staff.html",
        "mechanism": mechanism,
        "slug": slug,
        "is_shipped": collection.is_shipped(key),
        "latest": collection.latest(key),
        "used": collection.in_use().filter(key=key).first(),
    }
