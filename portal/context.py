"""What every page may use."""

from typing import Any

from django.http import HttpRequest
from django.utils.functional import SimpleLazyObject

from jobs.models import Workshop
from portal import languages


def house(request: HttpRequest) -> dict[str, Any]:
    """`workshop`: the one row, looked up when a page first names it. `tongues`: code and own name of each language."""
    return {"workshop": SimpleLazyObject(Workshop.objects.current), "tongues": languages.offered()}
