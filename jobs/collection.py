"""The findings library as this workshop has it: what the house ships, overlaid by the workshop's own versions in use.

`jobs.library` reads files and knows no rows; whoever shows, fills or searches explanations asks here.
"""

import logging
from dataclasses import dataclass
from typing import Any

from django.db.models import Count, Max, OuterRef, QuerySet, Subquery

from jobs import library
from jobs.library import Explanation, LibraryError, Problem
from jobs.library.check import of_entry
from jobs.library.load import from_text
from jobs.models import ExplanationVersion

State = ExplanationVersion.State
log = logging.getLogger(__name__)


@dataclass(frozen=True)
class _Kept:
    """What this process put together last, and what the rows looked like then."""

    stamp: dict[str, Any]
    entries: dict[str, Explanation]


_kept: _Kept | None = None


def entries() -> dict[str, Explanation]:
    """Every entry by key, sorted. One small query; put together again when a version has been added."""
    global _kept
    stamp = _stamp()
    if _kept is None or _kept.stamp != stamp:
        _kept = _Kept(stamp, _together())
    return _kept.entries


def get(key: str) -> Explanation:
    """One entry by its key, "mechanism/slug". Raises KeyError when there is none."""
    return entries()[key]


def is_shipped(key: str) -> bool:
    """Whether the house brings an entry of this key."""
    return key in library.entries()


def shipped_text(key: str) -> str:
    """The whole file that the house ships, or "" for a key of the workshop's own."""
    shipped = library.entries().get(key)
    return shipped.path.read_text(encoding="utf-8") if shipped else ""


def in_use() -> QuerySet[ExplanationVersion]:
    """For each key the newest version that is not a draft, where that is a text of our own."""
    standing = (
        ExplanationVersion.objects.exclude(state=State.DRAFT).filter(key=OuterRef("key")).order_by("-n")
    )
    return ExplanationVersion.objects.filter(pk=Subquery(standing.values("pk")[:1]), state=State.IN_USE)


def newest() -> QuerySet[ExplanationVersion]:
    """The newest version of each key, whatever its state."""
    last = ExplanationVersion.objects.filter(key=OuterRef("key")).order_by("-n")
    return ExplanationVersion.objects.filter(pk=Subquery(last.values("pk")[:1]))


def latest(key: str) -> ExplanationVersion | None:
    """The newest version of one key."""
    return ExplanationVersion.objects.filter(key=key).order_by("-n").first()


def problems(key: str, text: str) -> list[Problem]:
    """What stands against putting a text in use: unreadable, or anything that the library's check would say."""
    try:
        entry = from_text(key, text)
    except LibraryError as error:
        return error.problems
    return of_entry(entry, entries().values())


def _stamp() -> dict[str, Any]:
    # Rows are only ever added. The moment is there for databases that were emptied, and count and keys alike again.
    return ExplanationVersion.objects.aggregate(rows=Count("pk"), last=Max("pk"), at=Max("at"))


def _together() -> dict[str, Explanation]:
    own = {row.key: entry for row in in_use() if (entry := _read(row))}
    return dict(sorted((library.entries() | own).items()))


def _read(row: ExplanationVersion) -> Explanation | None:
    """A version's entry, or None when it cannot be read or filled any more: the shipped text then takes its place."""
    try:
        entry = from_text(row.key, row.text)
        try_out(entry)
    except (ValueError, KeyError) as error:  # a LibraryError and a FactError are ValueErrors
        log.error("Version %s of an explanation is left out: %r", row, error)
        return None
    return entry


def try_out(entry: Explanation) -> None:
    """All that a page asks of an entry. Raises ValueError or KeyError where that cannot be answered."""
    entry.sample()
    _ = entry.title, entry.short, entry.notice
