"""How we reach the customer, and who else can open their page."""

from django.contrib import messages
from django.db import transaction
from django.db.models import Max, Min
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from jobs.actions.contact import change_contact, say_where, want_progress, want_texts
from jobs.actions.linking import ask_for_link, revoke_links
from jobs.models import Job, Opening
from jobs.words import Way
from notifications import returned, vapid, ways
from portal import limits, this_browser
from portal.access import for_customer
from portal.answers import carried_out, see_other
from portal.customer.contact_form import ContactForm
from portal.customer.mine import is_theirs


@require_http_methods(["GET", "HEAD", "POST"])
@for_customer
def my_settings(request: HttpRequest, job: Job) -> HttpResponse:
    """One page, three small forms: contact (`do` is empty), a new link (`do=link`), close every other link (`do=close`)."""
    if request.method != "POST":
        return show(request, job)
    do = request.POST.get("do")
    if do == "link":
        return _new_link(request, job)
    if do == "close":
        return _close_others(request, job)
    form = ContactForm(request.POST, person=job.customer)
    if not carried_out(form, lambda: _keep(job, form)):
        return show(request, job, form)
    return _said(request, job, _("That is kept."))


def show(request: HttpRequest, job: Job, form: ContactForm | None = None, wrong: str = "") -> HttpResponse:
    """The page. `form`: one that came back; `wrong`: why notices could not be set up."""
    openings = (  # one row a device: every letter brings a link of its own
        Opening.objects.filter(link__job=job)
        .values("device")
        .annotate(first=Min("first_at"), last=Max("last_at"))
        .order_by("-last")
    )
    shown = {
        "job": job,
        "theirs": is_theirs(request),
        "form": form or ContactForm(person=job.customer),
        "dead": _dead(job),
        "openings": openings,
        "devices": len(openings),
        "until": request.link.expires_at if request.link else None,  # type: ignore[attr-defined]
        "wrong": wrong,
        "push_key": vapid.public_key(),
        "noticed": job.customer.subscriptions.count(),
        "noticed_here": this_browser.takes_notices(request, job),
    }
    return render(request, "customer/settings.html", shown, status=422 if form or wrong else 200)


@transaction.atomic
def _keep(job: Job, form: ContactForm) -> None:
    """All of it or nothing. Raises Refused."""
    person, told = job.customer, form.cleaned_data
    change_contact(person, telephone=told["telephone"], address=told["address"])
    want_progress(person, told["wants_progress"])
    if "text_to" in form.fields:
        want_texts(person, told["text_to"], told["wants_texts"])
        if told["wants_texts"]:
            returned.revive(told["text_to"], Way.TEXT)
    say_where(person, time_zone=told["time_zone"], holidays_in=told["holidays_in"])


def _dead(job: Job) -> bool:
    """Whether a text to their number came back."""
    person = job.customer
    return bool(person.wants_texts and person.text_to and ways.is_dead(Way.TEXT, person.text_to))


def _new_link(request: HttpRequest, job: Job) -> HttpResponse:
    if not limits.take(f"link:{job.pk}", 3, 3600):
        return _said(
            request, job, _("We have sent you three links in this hour. Please look for them in your post.")
        )
    ask_for_link(job, request.actor)  # type: ignore[attr-defined]
    return _said(request, job, _("A letter with a new link is on its way to you."))


def _close_others(request: HttpRequest, job: Job) -> HttpResponse:
    """Whoever came by another link hears nothing more either."""
    revoke_links(job, keep=request.link)  # type: ignore[attr-defined]
    this_browser.let_others_go(request, job)
    return _said(request, job, _("Every other link is closed. This device stays in."))


def _said(request: HttpRequest, job: Job, sentence: str) -> HttpResponse:
    messages.success(request, sentence)
    return see_other(request, reverse("my_settings", args=[job.shown_ref]))
