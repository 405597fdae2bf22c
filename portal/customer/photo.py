"""One photograph, large, with the way to the next. A plain page, so that it works everywhere and can be zoomed."""

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from jobs.models import Finding, Job, Photo
from portal.access import for_customer
from portal.customer import photos
from portal.customer.mine import is_theirs
from portal.drawing.pictures import Picture
from portal.pictures import address, picture


@require_safe
@for_customer
def my_photo(request: HttpRequest, job: Job, uid: UUID) -> HttpResponse:
    shown = list(job.photos.for_the_customer().select_related("finding").prefetch_related("marks"))
    place = next((n for n, photo in enumerate(shown) if photo.uid == uid), None)
    if place is None:
        raise Http404
    photo = shown[place]
    return render(
        request,
        "customer/photo.html",
        {
            "job": job,
            "theirs": is_theirs(request),
            "picture": _large(photo),
            "finding": photo.finding,
            "n": place + 1,
            "of": len(shown),
            "before": shown[place - 1] if place else None,
            "after": shown[place + 1] if place + 1 < len(shown) else None,
            "largest": address(photo, max(int(width) for width in photo.sizes)),
        },
    )


def _large(photo: Photo) -> Picture:
    finding: Finding | None = photo.finding
    title = finding.title if finding else ""
    certainty = finding.certainty if finding else "seen"
    return picture(photo, certainty=certainty, alt=photos.words_for(photo, title))
