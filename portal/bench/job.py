"""One job at the bench, whole: what to do next, and everything that is known."""

from dataclasses import dataclass

from django.db.models import Prefetch
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET

from jobs import stages
from jobs.models import Arrival, Decision, Entry, Finding, Job, Kind, Photo, Warranty
from portal.access import for_staff
from portal.bench import by_letter, steps, tried
from portal.bench.alike import alike
from portal.bench.common import show, with_job
from portal.bench.offers import offers
from portal.bench.telling import StoryForm
from portal.bench.times import dials
from portal.drawing.pictures import Picture
from portal.pictures import address, picture
from portal.storage import storage_of_job

LARGE = 1600
PHOTOS = Photo.objects.prefetch_related("marks")


@dataclass(frozen=True)
class Found:
    """A finding with its photographs: those that are ready, those that failed, and how many still wait."""

    finding: Finding
    pictures: list[Picture]
    failed: list[Photo]
    waiting: int

    @property
    def words(self) -> list[str]:
        """Certainty, bearing and effect, as far as they are pressed."""
        finding = self.finding
        return [word for word in (finding.certainty, finding.bearing, finding.effect) if word]


@require_GET
@for_staff
@with_job
def bench_job(request: HttpRequest, job: Job) -> HttpResponse:
    return job_page(request, job)


def job_page(
    request: HttpRequest, job: Job, refused: str = "", priced: tried.FinalPriceForm | None = None
) -> HttpResponse:
    """The job's page; with a refusal at the top when a press could not be done, or a final price that could not be noted."""
    if refused or priced:
        job = steps.seen_from_the_bench().get(pk=job.pk)
    photos = list(job.photos.filter(finding__isnull=True).prefetch_related("marks"))
    questions = list(job.questions.select_related("finding", "line"))
    enquiries = list(job.enquiries.select_related("finding"))
    by_letter.note(job, questions, enquiries)
    arrival = Arrival.objects.filter(job=job).first()
    context = {
        "refused": refused,
        "step": steps.next_step(job),
        "others": steps.other_steps(job),
        "questions": questions,
        "answered": [question for question in questions if question.answered_at],
        "enquiries": enquiries,
        "asked_and_answered": [enquiry for enquiry in enquiries if enquiry.answered_at],
        "arrival": arrival,
        "came": came(arrival) if arrival else "",
        "story_photos": pictures_for(photos, Photo.Purpose.STORY),
        "arrival_photos": pictures_for(photos, Photo.Purpose.ARRIVAL),
        "result_photos": pictures_for(photos, Photo.Purpose.RESULT),
        "loose": sum(1 for photo in photos if photo.purpose == Photo.Purpose.FINDING),
        "not_ready": [photo for photo in photos if photo.state != Photo.State.READY],
        "story_form": StoryForm(initial={"answer": job.story_answer}) if may_answer(job) else None,
        "alike": alike(job),
        "found": findings(job),
        "offers": offers(job),
        "tries": tried.waiting(job),
        "tried": tried.done(job),
        "price_forms": tried.price_forms(job, priced),
        "may_quote": steps.may_quote(job),
        "parts": list(job.awaited_parts.all()),
        "dials": dials(job),
        "proofs": list(job.proofs.all()),
        "warranty": Warranty.objects.filter(job=job).first(),
        "claims": list(job.claims.order_by("pk")),
        "storage": storage_of_job(job),
        "entries": [(entry, gist(entry)) for entry in job.entries.order_by("-seq")],
    }
    return show(request, "bench/job.html", job, status=422 if refused or priced else 200, **context)


def may_answer(job: Job) -> bool:
    return job.stage in stages.MAY_POST_FINDINGS


def findings(job: Job) -> list[Found]:
    """Every finding, drafts first, then worst first."""
    rows = job.findings.worst_first().prefetch_related(Prefetch("photos", queryset=PHOTOS), "wordings")
    drafts_first = sorted(rows, key=lambda finding: finding.state != Finding.State.DRAFT)
    return [_found(finding) for finding in drafts_first]


def pictures_for(photos: list[Photo], purpose: str) -> list[Picture]:
    ready = [photo for photo in photos if photo.purpose == purpose and photo.state == Photo.State.READY]
    return [_picture(photo) for photo in ready]


def came(arrival: Arrival) -> str:
    """What came, in one line."""
    there = [
        (arrival.body, _("body")),
        (arrival.lens, _("lens")),
        (arrival.caps, _("caps")),
        (arrival.case, _("case")),
    ]
    named = [word for is_there, word in there if is_there]
    if arrival.loose_parts:
        count = arrival.loose_parts
        named.append(ngettext("%(n)s loose part", "%(n)s loose parts", count) % {"n": count})
    return ", ".join(named).capitalize() + "."


def gist(entry: Entry) -> str:
    """What an entry is about, in its own words; "" where its kind says it all."""
    data = entry.data
    if entry.kind == Kind.DECIDED and data["way"] == Decision.Way.TELEPHONE:
        return _("by telephone")
    if entry.kind == Kind.ENQUIRY_ANSWERED:
        return str(data["answer"])
    for name in ("title", "text", "part", "because", "answer", "tracking", "note"):
        if data.get(name):
            return str(data[name])
    return ""


def _found(finding: Finding) -> Found:
    by_state: dict[str, list[Photo]] = {state: [] for state in Photo.State.values}
    for photo in finding.photos.all():
        by_state[photo.state].append(photo)
    pictures = [_picture(photo, finding.certainty or "seen") for photo in by_state[Photo.State.READY]]
    return Found(finding, pictures, by_state[Photo.State.FAILED], len(by_state[Photo.State.PROCESSING]))


def _picture(photo: Photo, certainty: str = "seen") -> Picture:
    words = photo.caption or str(Photo.Purpose(photo.purpose).label)
    return picture(photo, certainty=certainty, alt=words, large=address(photo, LARGE))
