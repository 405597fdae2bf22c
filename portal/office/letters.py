"""Every letter: what became of it, how it reads, and sending it again."""

from csp.decorators import csp_update
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from jobs.actions.refusals import Refused
from notifications import letters as post
from notifications.mailbox import reaches_people
from notifications.models import Letter
from notifications.remedies import what_to_do
from portal.access import for_owner
from portal.answers import see_other
from portal.mail_view import SANDBOX, framed
from portal.office.stayed import note_stayed

ROWS = 50


@require_safe
@for_owner
def office_letters(request: HttpRequest) -> HttpResponse:
    """Newest first, fifty a page; `show=trouble` is what did not get through. `before` is the last number of the page above."""
    show, before = request.GET.get("show", ""), request.GET.get("before", "")
    letters = Letter.objects.troubled() if show == "trouble" else Letter.objects.order_by("-pk")
    if before.isascii() and before.isdigit() and len(before) < 19:
        letters = letters.filter(pk__lt=int(before))
    asked = letters.select_related("job__item", "person", "carried_by").defer("text", "html")
    found = list(asked[: ROWS + 1])
    more = found[ROWS - 1].pk if len(found) > ROWS else None
    note_stayed(found[:ROWS])
    told = {"here": "office", "tab": "letters", "show": show, "letters": found[:ROWS], "more": more}
    return render(request, "office/letters.html", told)


@require_safe
@for_owner
@csp_update({"frame-src": ["'self'"]})
def office_letter(request: HttpRequest, pk: int) -> HttpResponse:
    found = Letter.objects.select_related("job__item", "person", "entry", "carried_by")
    letter = get_object_or_404(found, pk=pk)
    note_stayed([letter])
    told = {
        "here": "office",
        "tab": "letters",
        "letter": letter,
        "carries": letter.carries.order_by("entry__seq"),
        "preview": post.preview(letter),
        "what_to_do": what_to_do(letter),
        "reaches_people": reaches_people(),
        "sandbox": SANDBOX,
    }
    return render(request, "office/letter.html", told)


@require_safe
@for_owner
def office_letter_html(request: HttpRequest, pk: int) -> HttpResponse:
    """The letter's HTML for its frame. Its links lead nowhere: the office must not come in as the customer."""
    letter = get_object_or_404(Letter.objects.select_related("photo", "entry"), pk=pk)
    html = post.preview(letter).html
    if not html:
        raise Http404
    return framed(html, post.images_inside(letter))


@require_POST
@for_owner
def office_resend(request: HttpRequest, pk: int) -> HttpResponse:
    letter = get_object_or_404(Letter, pk=pk)
    try:
        post.resend(letter)
    except Refused as refused:
        messages.error(request, refused.sentence)
    else:
        messages.success(
            request, _("It goes out again now, to %(address)s.") % {"address": letter.to_address}
        )
    return see_other(request, reverse("office_letter", args=[letter.pk]))
