"""Photographs are served here and nowhere else: re-encoded bytes only, to those who may see the job."""

from uuid import UUID

from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_safe

from jobs.darkroom import store
from jobs.models import Photo
from portal.access import for_everyone, is_staff, live_link

SANDBOX = "default-src 'none'; sandbox"


@require_safe
@for_everyone  # the check is inside: a photograph names its job, and a basket belongs to one session
def photo(request: HttpRequest, uid: UUID, width: int) -> HttpResponse:
    """One size of one photograph: `width` of 400, 800 or 1600, or the nearest that there is."""
    found = get_object_or_404(
        Photo.objects.select_related("job", "finding"), uid=uid, state=Photo.State.READY
    )
    if not may_see(request, found):
        raise Http404
    response = FileResponse(store.path(nearest(found, width)).open("rb"), content_type="image/jpeg")
    response["Content-Security-Policy"] = SANDBOX
    response["Content-Disposition"] = f'inline; filename="{found.uid}.jpg"'
    response["Cache-Control"] = "private, max-age=3600"
    return response


def may_see(request: HttpRequest, photo: Photo) -> bool:
    if is_staff(request):
        return True
    if photo.job is None:
        return str(photo.basket) == request.session.get("basket")
    return not photo.is_unposted and live_link(request, photo.job.ref) is not None


def nearest(photo: Photo, width: int) -> str:
    """The stored file whose width is nearest to what is asked for."""
    found: str = photo.sizes[min(photo.sizes, key=lambda size: abs(int(size) - width))]
    return found
