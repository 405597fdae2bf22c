"""Photographs at the bench: sent one by one while the form is still being filled in, or all with the form."""

from collections.abc import Sequence
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from jobs.models import Job, Photo
from portal import uploads
from portal.access import for_staff
from portal.answers import go
from portal.bench.common import show, to_job, with_job
from portal.bench.shots import Shot, shot
from portal.uploads import Taken

PURPOSES = {Photo.Purpose.ARRIVAL, Photo.Purpose.FINDING, Photo.Purpose.RESULT}


@require_POST
@for_staff
@with_job
def photos(request: HttpRequest, job: Job) -> HttpResponse:
    """Take photographs in. A script sends one at a time and gets its place in the form back; a plain form comes back to the job."""
    purpose = request.POST.get("purpose", "")
    if purpose not in PURPOSES:
        purpose = Photo.Purpose.FINDING
    taken = take_in(request, job, purpose)
    if not request.headers.get("HX-Request"):
        return to_job(request, job, told(taken))
    one = taken[0] if taken else Taken("", problem=_("No photograph came."))
    context = {
        "job": job,
        "file_name": one.file_name,
        "problem": one.problem,
        "shot": _shown(one),
        "fresh": True,
    }
    return render(request, _place(purpose), context, status=422 if one.problem else 200)


@require_GET
@for_staff
@with_job
def photo(request: HttpRequest, job: Job, uid: UUID) -> HttpResponse:
    """How one photograph fares: waits, is ready, or why it failed. A script asks until it is one of the last two."""
    found = get_object_or_404(job.photos.prefetch_related("marks"), uid=uid)
    context = {"job": job, "shot": shot(found), "fresh": "fresh" in request.GET}
    return render(request, _place(found.purpose), context)


@require_http_methods(["GET", "POST"])
@for_staff
@with_job
def results(request: HttpRequest, job: Job) -> HttpResponse:
    """Photographs of what came of the work. The customer sees them as soon as they are ready."""
    if request.method == "POST":
        taken = take_in(request, job, Photo.Purpose.RESULT)
        if taken and not any(one.problem for one in taken):
            return go(request, request.path, told(taken))
        refused = [told([one]) for one in taken if one.problem] or [_("Choose a photograph first.")]
        return show(
            request, "bench/results.html", job, 422, shots=loose(job, Photo.Purpose.RESULT), refused=refused
        )
    return show(request, "bench/results.html", job, shots=loose(job, Photo.Purpose.RESULT))


def take_in(request: HttpRequest, job: Job, purpose: str) -> list[Taken]:
    files = request.FILES.getlist("photos")
    return uploads.take(files, purpose, job=job)


def take_sent(request: HttpRequest, job: Job, purpose: str) -> tuple[list[Photo], list[str]]:
    """Take in what came with a form; and the sentences for what could not be taken."""
    taken = take_in(request, job, purpose)
    return [one.photo for one in taken if one.photo], [told([one]) for one in taken if one.problem]


def loose(job: Job, purpose: str) -> list[Shot]:
    """The job's photographs of one purpose that belong to no finding, as places in a form."""
    rows = job.photos.filter(purpose=purpose, finding__isnull=True).prefetch_related("marks")
    return [shot(row) for row in rows]


def told(taken: Sequence[Taken]) -> str:
    """What became of uploads, in a sentence or several."""
    good = sum(1 for one in taken if not one.problem)
    bad = [f"{one.file_name}: {one.problem}" for one in taken if one.problem]
    count = ngettext("%(n)s photograph is here.", "%(n)s photographs are here.", good) % {"n": good}
    return " ".join(([count] if good else []) + bad)


def _place(purpose: str) -> str:
    """A finding's photographs are marked; the others stand in a plain strip."""
    return "bench/shot.html" if purpose == Photo.Purpose.FINDING else "bench/small.html"


def _shown(one: Taken) -> Shot | None:
    return shot(one.photo) if one.photo else None
