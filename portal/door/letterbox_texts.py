"""Text messages and notices of the demo: the far end of both ways, and a page that shows what came. Never for a real workshop."""

import json
import re
import secrets
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from jobs import telephones
from jobs.words import Way
from notifications.demo_ways import Device
from notifications.gsm import parts
from portal.access import for_everyone, for_machine, in_staff_language
from portal.door.letterbox import ON_A_PAGE, by_day, in_the_demo, put_off
from portal.letterbox import keep

KEY = re.compile(r'"[0-9A-Za-z-]{1,64}"')
LARGEST = 5000  # bytes


@dataclass(frozen=True)
class Came:
    """A text (`to` is a number) or a notice (`to` is "")."""

    at: datetime
    to: str
    title: str
    words: str
    path: str = ""
    messages: int = 1

    @property
    def shown_to(self) -> str:
        return telephones.shown(self.to)


@require_safe
@for_everyone
@in_staff_language
@in_the_demo
def letterbox_texts(request: HttpRequest) -> HttpResponse:
    page = Paginator(sorted(folder().glob("*.json"), reverse=True), ON_A_PAGE).get_page(
        request.GET.get("page")
    )
    told = {"page": page, "days": by_day(_read(page)), "put_off": put_off(Way.TEXT, Way.PUSH)}
    return render(request, "door/letterbox_texts.html", told)


@require_POST
@for_machine
@in_the_demo
def letterbox_take_text(request: HttpRequest) -> HttpResponse:
    """A gateway of text messages as many are: it wants a key, takes JSON, and answers with its own name for the message."""
    if request.headers.get("Authorization") != "Bearer demo":
        return JsonResponse({"error": "unknown key"}, status=401)
    told = _json(request)
    if not (isinstance(told.get("to"), str) and isinstance(told.get("text"), str)):
        return JsonResponse({"error": "to and text are needed"}, status=422)
    key = request.headers.get("Idempotency-Key", "")
    return _kept({**told, "way": "text"}, key if KEY.fullmatch(key) else "", status=202)


@require_POST
@for_machine
@in_the_demo
def letterbox_take_notice(request: HttpRequest) -> HttpResponse:
    """A push service and the browser behind it in one (RFC 8030 section 5): 201 for what this letterbox's device can read."""
    try:
        told = json.loads(Device.ours().read(request.body[:LARGEST]))
    except ValueError:
        return HttpResponse(status=400)
    return _kept({**told, "way": "push"}, "", status=201)


def folder() -> Path:
    return Path(settings.LETTERBOX_DIR) / "texts"


def _kept(told: dict[str, Any], key: str, status: int) -> HttpResponse:
    """Keep it, once for each Idempotency-Key, and say its name."""
    name = key.strip('"') or secrets.token_hex(16)
    mark = folder() / f".{name}"
    if not mark.exists():
        keep(folder(), json.dumps(told).encode(), "json")
        mark.touch()
    return JsonResponse({"id": name}, status=status)


def _json(request: HttpRequest) -> dict[str, Any]:
    try:
        told = json.loads(request.body[:LARGEST])
    except ValueError:
        return {}
    return told if isinstance(told, dict) else {}


def _read(paths: Any) -> Iterator[Came]:
    for path in paths:
        told = json.loads(path.read_text())
        at = timezone.localtime(
            datetime.strptime(path.name.partition("Z-")[0] + "+0000", "%Y%m%dT%H%M%S.%f%z")
        )
        if told["way"] == "text":
            yield Came(at, told["to"], str(told.get("from", "")), told["text"], messages=parts(told["text"]))
        else:
            yield Came(at, "", str(told.get("title")), str(told.get("body")), str(told.get("path", "")))
