"""Evidence that stands without us: one zip with everything about a job's answers, and a script that checks it. Reads only."""

import json
import re
import zipfile
from collections.abc import Iterator
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path
from typing import IO, Any

from django.utils import timezone

from jobs.darkroom import store
from jobs.models import Decision, Job, Paper, Photo

KIT = Path(__file__).resolve().parent / "evidence_kit"
SUMS = "SHA256SUMS"
SAFE = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*(/[A-Za-z0-9][A-Za-z0-9._-]*)*")
DIGEST = re.compile(r"[0-9a-f]{64}")
Member = tuple[str, bytes]


def export(job: Job, to: IO[bytes]) -> None:
    """Write the zip into `to`, a binary file open for writing. One member at a time is in memory."""
    sums: list[str] = []
    at = timezone.now().astimezone(UTC)
    with zipfile.ZipFile(to, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, content in members(job):
            assert SAFE.fullmatch(name), name
            sums.append(f"{sha256(content).hexdigest()}  {name}\n")
            _put(packed, name, content, at)
        _put(packed, SUMS, "".join(sums).encode(), at)


def file_name(job: Job) -> str:
    return f"{job.shown_ref}-evidence.zip"


def members(job: Job) -> Iterator[Member]:
    """Every file but the list of their fingerprints, by its name inside. All names are made of our own letters, none of anybody's words."""
    for name in ("README.txt", "verify.py"):
        yield name, (KIT / name).read_bytes()
    lines = job.entries.order_by("seq").values_list("body", flat=True)
    yield "journal.jsonl", "".join(f"{body}\n" for body in lines).encode()
    photographs: dict[str, None] = {}
    for quote in job.quotes.exclude(shown="").order_by("n"):
        yield f"quotes/quote-{quote.n}.shown.json", quote.shown.encode()
        photographs |= dict.fromkeys(_photographs(json.loads(quote.shown)["lines"]))
    yield from _answers(job)
    yield from _papers(job)
    yield from _files(job, photographs)


def _answers(job: Job) -> Iterator[Member]:
    for decision in Decision.objects.filter(quote__job=job).select_related("quote").order_by("quote__n"):
        if decision.record:
            yield f"answers/quote-{decision.quote.n}.record.json", decision.record.encode()
        page = decision.papers.filter(kind=Paper.Kind.PAGE).first()
        if page:
            yield f"answers/quote-{decision.quote.n}.page.html", bytes(page.body)


def _papers(job: Job) -> Iterator[Member]:
    for paper in job.papers.exclude(kind=Paper.Kind.PAGE).order_by("pk").iterator(chunk_size=5):
        yield f"papers/{paper.kind}-{paper.sha256[:16]}.pdf", bytes(paper.body)


def _photographs(lines: list[dict[str, Any]]) -> Iterator[str]:
    """Digests of the photographs beside the findings of these lines and of their follow-ons."""
    for line in lines:
        for finding in line.get("findings", ()):
            yield from (digest for digest in finding.get("photos", ()) if DIGEST.fullmatch(digest))
        for outcome in line.get("outcomes", ()):
            yield from _photographs(outcome.get("follow_ons", []))


def _files(job: Job, digests: dict[str, None]) -> Iterator[Member]:
    """The stored files that bear these digests as their names; one that is gone is left out, and the script counts it."""
    stored = {
        Path(name).stem: name
        for sizes in Photo.objects.filter(job=job).values_list("sizes", flat=True)
        for name in (sizes or {}).values()
    }
    for digest in digests:
        try:
            content = store.path(stored[digest]).read_bytes()
        except (KeyError, OSError):
            continue
        yield f"photographs/{digest}.jpg", content


def _put(packed: zipfile.ZipFile, name: str, content: bytes, at: datetime) -> None:
    info = zipfile.ZipInfo(name, date_time=at.timetuple()[:6])
    info.compress_type, info.external_attr = zipfile.ZIP_DEFLATED, 0o644 << 16
    packed.writestr(info, content)
