"""Booking in: the story, the photographs, the person; and before it, where the story fits, a look that may make it needless."""

from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import get_language
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from jobs import collection
from jobs.actions.booking import book as book_in
from jobs.actions.refusals import Refused
from jobs.actions.settling import settle_at_home
from jobs.library import Explanation
from jobs.models import Job
from portal import device, limits, uploads
from portal.access import for_everyone
from portal.answers import refuse, see_other
from portal.customer import basket, checking
from portal.customer.checking import Checks
from portal.customer.forms import BookingForm
from portal.customer.opening import open_here
from portal.door.closed import once_open
from portal.pictures import picture

BOOKED = "booked"  # session key: what this browser booked last, {"once": the form's key, "ref": reference}
SETTLED = "settled"  # session key: what this browser settled last, {"once": the form's key, "key": the explanation's}
AN_HOUR, A_DAY = 3600, 86400
MOST_AN_HOUR = 10  # bookings from one network
MOST_PHOTOS_AN_HOUR = 60
PARTS = {"basket": "customer/book.html#basket", "kept": "customer/book.html#kept"}


@require_http_methods(["GET", "HEAD", "POST"])
@for_everyone
@once_open
def book(request: HttpRequest) -> HttpResponse:
    """The form. Its buttons: book in (`do` is empty), add photographs (`do=photos`), take one out again (`remove=<uid>`).

    Booking in may be answered by a look that is offered first: the same page, with all that was typed. It is offered once.
    """
    if request.method != "POST":
        return _form(request, BookingForm())
    form, checks = BookingForm(request.POST), checking.came_back(request.POST)
    if removed := request.POST.get("remove"):
        basket.take_out(request, removed)
        return _form(request, _as_typed(form), checks=checks)
    problems = _take_photos(request)
    if request.POST.get("do") == "photos":
        return _form(request, _as_typed(form), problems, checks=checks)
    if not form.is_valid() or problems:
        return _form(request, form, problems, status=422, checks=checks)
    return _looked_first(request, form, checks)


@require_safe
@for_everyone
def booked(request: HttpRequest) -> HttpResponse:
    """What happens next, for the browser that has just booked."""
    ref = request.session.get(BOOKED, {}).get("ref")
    job = Job.objects.with_people().filter(ref=ref).first() if ref else None
    if job is None:
        return redirect("home")
    return render(request, "customer/booked.html", {"job": job})


@require_safe
@for_everyone
def settled(request: HttpRequest) -> HttpResponse:
    """Thanks, and what it means, for the browser that has just settled it at home."""
    key = request.session.get(SETTLED, {}).get("key")
    entry = collection.entries().get(key) if key else None
    if entry is None or entry.front.check is None:
        return redirect("home")
    more = reverse("library_entry", args=entry.key.split("/"))
    return render(request, "customer/settled.html", {"check": checking.said_of(entry), "more": more})


def _looked_first(request: HttpRequest, form: BookingForm, checks: Checks | None) -> HttpResponse:
    """A form with nothing wrong: offer a look if one fits, take its answer, or book."""
    if checks is None:
        told = form.cleaned_data
        offered = checking.to_offer(told["story"], told["kind"])
        return _form(request, form, checks=offered) if offered else _book(request, form, None)
    if not checks.form.is_valid():
        return _form(request, form, status=422, checks=checks)
    that_was_it = checks.settled()
    return _settle(request, form, checks, that_was_it) if that_was_it else _book(request, form, checks)


def _settle(request: HttpRequest, form: BookingForm, checks: Checks, entry: Explanation) -> HttpResponse:
    """Nothing is booked and nothing that was typed or sent is kept; that it happened is counted, once for a form."""
    once = str(form.cleaned_data["once"])
    if request.session.get(SETTLED, {}).get("once") == once:
        return see_other(request, reverse("settled"))
    if not limits.take(f"book:{limits.network(request)}", MOST_AN_HOUR, AN_HOUR):
        return _too_many(request, form, checks)
    with transaction.atomic():
        if limits.take(f"settled:{once}", 1, A_DAY):
            settle_at_home(entry.key, form.cleaned_data["kind"])
    basket.empty(request)
    request.session[SETTLED] = {"once": once, "key": entry.key}
    return see_other(request, reverse("settled"))


def _book(request: HttpRequest, form: BookingForm, checks: Checks | None) -> HttpResponse:
    once = str(form.cleaned_data["once"])
    if request.session.get(BOOKED, {}).get("once") == once:
        return see_other(request, reverse("booked"))
    if not limits.take(f"book:{limits.network(request)}", MOST_AN_HOUR, AN_HOUR):
        return _too_many(request, form, checks)
    try:
        # A double tap sends twice at once: the second waits here for the first, and books nothing.
        with transaction.atomic():
            job = _once(request, form, once, checks)
    except Refused as refused:
        refuse(form, refused)
        return _form(request, form, status=422, checks=checks)
    response = see_other(request, reverse("booked"))
    if job is not None:
        device.keep(response, open_here(request, job))
        request.session[BOOKED] = {"once": once, "ref": job.ref}
        basket.forget(request)
    return response


def _once(request: HttpRequest, form: BookingForm, once: str, checks: Checks | None) -> Job | None:
    if not limits.take(f"once:{once}", 1, A_DAY):
        return None
    looked_at = checks.looked() if checks else []
    return book_in(form.booking(basket.basket_of(request), get_language() or "en-gb", looked_at))


def _take_photos(request: HttpRequest) -> list[str]:
    files = request.FILES.getlist("photos")
    if files and not limits.take(f"photos:{limits.network(request)}", MOST_PHOTOS_AN_HOUR, AN_HOUR):
        return [_("That was a lot of photographs. Wait an hour, then add more.")]
    return basket.put_in(request, files)


def _as_typed(form: BookingForm) -> BookingForm:
    """The same form with everything as it was typed, and nothing found fault with yet."""
    return BookingForm(initial={name: form.data.get(name, "") for name in form.fields})


def _too_many(request: HttpRequest, form: BookingForm, checks: Checks | None) -> HttpResponse:
    form.add_error(
        None, _("Many bookings came from your network in this hour. Wait a while, then press once more.")
    )
    return _form(request, form, status=429, checks=checks)


def _form(
    request: HttpRequest,
    form: BookingForm,
    problems: list[str] | None = None,
    status: int = 200,
    checks: Checks | None = None,
) -> HttpResponse:
    kept = basket.in_basket(request)
    shown = {
        "form": form,
        "checks": checks,
        "photos": [
            (photo, picture(photo, alt=photo.file_name) if photo.state == "ready" else None) for photo in kept
        ],
        "developing": any(photo.state == "processing" for photo in kept),
        "room": basket.MOST - len(kept),
        "problems": problems or [],
        "accept": uploads.ACCEPT,
    }
    target = request.htmx.target
    return render(request, PARTS.get(target, "customer/book.html"), shown, status=status)
