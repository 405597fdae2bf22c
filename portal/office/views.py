"""The office: who owes an answer, and the presses that get it."""

from collections.abc import Callable

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from jobs import refs
from jobs.actions import linking
from jobs.actions.quote import renew
from jobs.actions.refusals import Refused
from jobs.models import Job, Workshop
from notifications.chasing import nudge
from portal.access import for_owner
from portal.answers import see_other
from portal.drawing import days
from portal.office import sheet
from portal.office.at_home import at_home
from portal.office.brief import brief
from portal.office.owed_choice import Choice
from portal.office.reminded import reminded


@require_safe
@for_owner
def office(request: HttpRequest) -> HttpResponse:
    """The sheet. `find` looks for words in every job; `show` is one of sheet.SHOWN; `after` is where the page before ended."""
    house = the_house()
    today = timezone.localdate()
    words, show = request.GET.get("find", "").strip()[:100], request.GET.get("show", "")
    if show not in sheet.SHOWN:
        raise Http404
    after = request.GET.get("after", "")
    drawn = sheet.found(house, words) if words else sheet.SHOWN[show](house, after)
    told = {
        "here": "office",
        "tab": "find" if words else show,
        "tabs": sheet.TABS,
        "words": words,
        "sheet": drawn,
        "waited_head": days.waited_head(drawn.axis_days),
        "promised_head": days.promised_head(today),
        "today": today,
        "at_home": at_home(today) if not (words or show) else None,
        "brief": brief(today),
    }
    return render(request, "office/office.html", told)


@require_POST
@for_owner
def office_nudge(request: HttpRequest, ref: str) -> HttpResponse:
    """`thing`: of several things owed the one that the reminder is about (see Owing)."""
    job, thing = find_job(ref), request.POST.get("thing", "")
    by = request.actor
    return press(request, job, lambda: nudge(job, by, thing), reminded(job.customer))


@require_POST
@for_owner
def office_renew(request: HttpRequest, ref: str) -> HttpResponse:
    job = find_job(ref)
    return press(
        request,
        job,
        lambda: renew(job, request.actor),
        _("The quote is open again, and %(name)s hears of it.") % named(job),
    )


@require_POST
@for_owner
def office_link(request: HttpRequest, ref: str) -> HttpResponse:
    """Send a new private link; with `close`, make every link there is dead first."""
    job = find_job(ref)

    def send() -> None:
        if request.POST.get("close"):
            linking.revoke_links(job)
        linking.ask_for_link(job, request.actor)

    return press(request, job, send, _("A new link to %(name)s is on its way.") % named(job))


def press(request: HttpRequest, job: Job, act: Callable[[], object], done: str) -> HttpResponse:
    """One press: do it, say `done`, go back to where it was pressed. A refusal is told in its own words and changes nothing."""
    try:
        act()
    except Refused as refused:
        messages.error(request, f"{job.item.name}: {refused.sentence}")
    else:
        messages.success(request, done)
    return see_other(request, back_to(request, job))


def named(job: Job) -> dict[str, str]:
    return {"name": job.customer.name}


def back_to(request: HttpRequest, job: Job) -> str:
    """The page of the office on which something was pressed, in the order and with the filter that it had (`at`)."""
    asked = request.POST if request.method == "POST" else request.GET
    back = asked.get("back", "")
    if back == "job":
        return reverse("office_job", args=[job.shown_ref])
    if back == "owed":
        query = _query_of_the_list(asked.get("at", ""))
        return reverse("office_owed") + (f"?{query}" if query else "")
    return reverse("office")


def _query_of_the_list(asked: str) -> str:
    """Only what the list knows; what somebody made up is left out."""
    try:
        return Choice.read(QueryDict(asked[:200])).query
    except Http404:
        return ""


def find_job(ref: str) -> Job:
    """Raises Http404."""
    try:
        return Job.objects.with_people().get(ref=refs.tidy(ref))
    except (refs.BadRef, Job.DoesNotExist):
        raise Http404 from None


def the_house() -> Workshop:
    """Raises Http404 before the first run: there is nobody then who could log in."""
    house = Workshop.objects.current()
    if house is None:
        raise Http404
    return house
