"""Drafts that wait to be gone on with."""

from dataclasses import dataclass
from tomllib import TOMLDecodeError

from django.urls import reverse
from django.utils.translation import gettext as _

from jobs import collection
from jobs.library import LibraryError, write
from jobs.models import ExplanationVersion


@dataclass(frozen=True)
class Waiting:
    """A draft as a list shows it."""

    version: ExplanationVersion
    title: str
    address: str


def waiting() -> list[Waiting]:
    """The newest version of each explanation, where that is a draft; the one saved last stands first."""
    drafts = collection.newest().filter(state=ExplanationVersion.State.DRAFT).order_by("-at")
    return [
        Waiting(draft, _title(draft), reverse("library_edit", args=draft.key.split("/"))) for draft in drafts
    ]


def _title(draft: ExplanationVersion) -> str:
    try:
        front, _parts = write.read(draft.text)
    except (LibraryError, TOMLDecodeError):
        front = {}
    return str(front.get("title") or "") or _("Without a title yet")
