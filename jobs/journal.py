"""The journal: one append-only, hash-chained log per job, and the check that it is whole.

Everything that happens to a job is an entry, written in the same transaction as the rows it is about. The journal is also the outbox:
`notifications.relay` reads it, so nothing that happened can go unannounced.
"""

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from django.db import transaction
from django.utils import timezone

from jobs.actor import Actor
from jobs.canonical import canonical, digest
from jobs.models import Entry, Job, Kind

VERSION = 1

# Called after the commit of a transaction that appended, best effort: the reader of the journal also looks by itself.
wakers: list[Callable[[], None]] = []


def append(job: Job, kind: Kind, by: Actor, data: dict[str, Any] | None = None) -> Entry:
    """Append to `job`'s journal. `job` must be held by `jobs.actions.moving.changing`, which makes writers take turns."""
    at = timezone.now()
    before = Entry.objects.filter(job=job).order_by("-seq").values("seq", "hash").first() or {
        "seq": 0,
        "hash": "",
    }
    seq, prev = before["seq"] + 1, before["hash"]
    body = canonical(_content(job.ref, seq, at, kind, by, data or {}, prev))
    entry = Entry.objects.create(
        job=job,
        seq=seq,
        at=at,
        kind=kind,
        by_kind=by.kind,
        by_name=by.name,
        body=body,
        prev=prev,
        hash=digest(body),
    )
    job.last_seq = seq
    job.save(update_fields=["last_seq"])
    for wake in wakers:
        transaction.on_commit(wake, robust=True)
    return entry


def _content(
    ref: str, seq: int, at: datetime, kind: Kind, by: Actor, data: dict[str, Any], prev: str
) -> dict[str, Any]:
    return {
        "v": VERSION,
        "job": ref,
        "seq": seq,
        "at": at.astimezone(UTC).isoformat(timespec="microseconds"),
        "kind": kind.value,
        "by": {"kind": by.kind, "name": by.name, "id": by.id},
        "data": data,
        "prev": prev,
    }


@dataclass(frozen=True)
class Break:
    """The first place where a job's journal is not what it was."""

    ref: str
    seq: int
    why: str


def verify(job: Job) -> Break | None:
    """Re-check one job's chain. Returns the first break, or None when it is whole."""
    prev, seq = "", 0
    for seq, entry in enumerate(job.entries.order_by("seq"), start=1):
        if why := _fault(job, entry, seq, prev):
            return Break(job.shown_ref, seq, why)
        prev = entry.hash
    if seq != job.last_seq:
        return Break(job.shown_ref, seq + 1, f"{job.last_seq} entries were written, {seq} are there")
    return None


def verify_all() -> Iterator[Break]:
    for job in Job.objects.order_by("pk").iterator():
        if found := verify(job):
            yield found


def _fault(job: Job, entry: Entry, seq: int, prev: str) -> str:
    if entry.seq != seq:
        return f"entry {seq} is missing"
    if digest(entry.body) != entry.hash:
        return "the text does not match its hash"
    body = json.loads(entry.body)
    if body["prev"] != prev or entry.prev != prev:
        return "the entry does not follow the one before"
    at = entry.at.astimezone(UTC).isoformat(timespec="microseconds")
    columns = [job.ref, entry.seq, at, entry.kind, entry.by_kind, entry.by_name]
    told = [body["job"], body["seq"], body["at"], body["kind"], body["by"]["kind"], body["by"]["name"]]
    if columns != told:
        return "the columns do not match the text"
    return ""
