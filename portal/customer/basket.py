"""The basket: photographs that a visitor uploaded before their job exists, kept through every re-rendering of the form."""

from uuid import UUID, uuid4

from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest
from django.utils.translation import gettext as _

from jobs.actions.photo import throw_away
from jobs.models import Photo
from portal import uploads

BASKET = "basket"
MOST = uploads.MOST_AT_ONCE


def basket_of(request: HttpRequest) -> UUID | None:
    kept = request.session.get(BASKET)
    return UUID(kept) if kept else None


def in_basket(request: HttpRequest) -> list[Photo]:
    basket = basket_of(request)
    return uploads.basket_photos(basket) if basket else []


def put_in(request: HttpRequest, files: list[UploadedFile]) -> list[str]:
    """Take uploads into the visitor's basket, as many as there is room for. Returns a sentence for each thing that went wrong."""
    if not files:
        return []
    basket = basket_of(request) or uuid4()
    request.session[BASKET] = str(basket)
    room = MOST - len(uploads.basket_photos(basket))
    taken = uploads.take(files[: max(room, 0)], Photo.Purpose.STORY, basket=basket, by_kind="customer")
    problems = [f"{each.file_name}: {each.problem}" for each in taken if each.problem]
    if len(files) > room:
        problems.append(_("Six photographs are as many as we take here. The rest are left out."))
    return problems


def take_out(request: HttpRequest, uid: str) -> None:
    """Take one photograph out again. One that is not in this visitor's basket stays where it is."""
    for photo in in_basket(request):
        if str(photo.uid) == uid:
            throw_away(photo)


def empty(request: HttpRequest) -> None:
    """Throw away what was uploaded: no job comes of it."""
    for photo in in_basket(request):
        throw_away(photo)
    forget(request)


def forget(request: HttpRequest) -> None:
    request.session.pop(BASKET, None)
