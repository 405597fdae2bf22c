"""One job at the bench, whole: what to do next, and everything that is known."""

from dataclasses import dataclass

from django.db.models import Prefetch
from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from jobs.evidence import total_of
from jobs.models import Arrival, Entry, Finding, Job, Photo, Quote, Warranty
from jobs.quoting import Total
from portal.access import for_staff
from portal.bench import steps
from portal.bench.common import show, with_job
from portal.bench.times import dials
from portal.drawing.pictures import Picture
from portal.pictures import picture

PHOTOS = Photo.objects.prefetch_related("marks")


@dataclass(frozen=True)
class Found:
    """A finding with its photographs that are ready, and how many are not."""

    finding: Finding
    pictures: list[Picture]
    not_ready: int


@dataclass(frozen=True)
class Offer:
    """A quote with its sum: of the lines agreed to, or of all."""

    quote: Quote
    total: Total


@require_GET
@for_staff
@with_job
def bench_job(request: HttpRequest, job: Job) -> HttpResponse:
    return job_page(request, job)


def job_page(request: HttpRequest, job: Job, refused: str = "") -> HttpResponse:
    """The job's page; with a refusal at the top when a press could not be done."""
    if refused:
        job = steps.seen_from_the_bench().get(pk=job.pk)
    photos = list(job.photos.filter(finding__isnull=True).prefetch_related("marks"))
    context = {
        "refused": refused,
        "step": steps.next_step(job),
        "others": steps.other_steps(job),
        "questions": list(job.questions.select_related("finding", "line")),
        "arrival": Arrival.objects.filter(job=job).first(),
        "story_photos": pictures_for(photos, Photo.Purpose.STORY),
        "arrival_photos": pictures_for(photos, Photo.Purpose.ARRIVAL),
        "result_photos": pictures_for(photos, Photo.Purpose.RESULT),
        "not_ready": [photo for photo in photos if photo.state != Photo.State.READY],
        "found": findings(job),
        "offer": offer(job),
        "parts": list(job.awaited_parts.all()),
        "dials": dials(job),
        "proofs": list(job.proofs.all()),
        "warranty": Warranty.objects.filter(job=job).first(),
        "claims": list(job.claims.order_by("pk")),
        "entries": [(entry, gist(entry)) for entry in job.entries.order_by("-seq")],
    }
    return show(request, "bench/job.html", job, status=422 if refused else 200, **context)


def findings(job: Job) -> list[Found]:
    """Every finding, drafts first, then worst first."""
    rows = job.findings.worst_first().prefetch_related(Prefetch("photos", queryset=PHOTOS), "wordings")
    drafts_first = sorted(rows, key=lambda finding: finding.state != Finding.State.DRAFT)
    return [_found(finding) for finding in drafts_first]


def offer(job: Job) -> Offer | None:
    """The newest quote."""
    quote = job.quotes.select_related("decision").prefetch_related("lines__choice").order_by("-n").first()
    if quote is None:
        return None
    lines = list(quote.lines.all())
    if quote.state == Quote.State.ANSWERED:
        lines = [line for line in lines if line.choice.yes]
    return Offer(quote, total_of(quote, lines))


def pictures_for(photos: list[Photo], purpose: str) -> list[Picture]:
    ready = [photo for photo in photos if photo.purpose == purpose and photo.state == Photo.State.READY]
    return [picture(photo) for photo in ready]


def gist(entry: Entry) -> str:
    """What an entry is about, in its own words; "" where its kind says it all."""
    data = entry.data
    for name in ("title", "text", "part", "because", "answer", "tracking", "note"):
        if data.get(name):
            return str(data[name])
    return ""


def _found(finding: Finding) -> Found:
    photos = list(finding.photos.all())
    ready = [photo for photo in photos if photo.state == Photo.State.READY]
    certainty = finding.certainty or "seen"
    return Found(finding, [picture(photo, certainty=certainty) for photo in ready], len(photos) - len(ready))
