"""What the office does about something owed: put it off, take it up again, ring and note what was said."""

from datetime import date, timedelta
from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_POST

from jobs.models import Job
from notifications.chasing import note_call, pause, resume
from notifications.models import Owing
from portal.access import for_owner
from portal.answers import carried_out, go, status
from portal.office.call_facts import facts_of
from portal.office.forms import Plain
from portal.office.opening_words import opening
from portal.office.owed_rows import rows
from portal.office.views import back_to, find_job, named, press


class PutOffForm(Plain):
    """Either a number of days (a press), or a day; neither: until it is taken up again."""

    days = forms.TypedChoiceField(choices=[(n, n) for n in (1, 7)], coerce=int, required=False, empty_value=0)
    until = forms.DateField(
        label=gettext_lazy("Until which day"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    because = forms.CharField(label=gettext_lazy("Why, for yourself"), max_length=200, required=False)
    open_end = forms.BooleanField(label=gettext_lazy("No day: until I take it up again"), required=False)

    def clean(self) -> dict[str, Any]:
        told = super().clean() or {}
        if not self.errors and not (told.get("days") or told.get("until") or told.get("open_end")):
            self.add_error("until", _("Choose a day, or say that it has none."))
        if told.get("until") and told.get("open_end"):
            self.add_error("open_end", _("You chose a day too. Leave one of the two out."))
        return told

    @property
    def day(self) -> date | None:
        """The day on which nudges go on; None for no such day."""
        told = self.cleaned_data
        if told["days"]:
            return timezone.localdate() + timedelta(days=told["days"])
        return None if told["open_end"] else told["until"]


class RingForm(Plain):
    missing = {"text": gettext_lazy("Write down in a few words what was said.")}
    text = forms.CharField(
        label=gettext_lazy("What was said"), max_length=1000, widget=forms.Textarea(attrs={"rows": 3})
    )
    rest = forms.TypedChoiceField(
        label=gettext_lazy("And the reminders"),
        coerce=int,
        widget=forms.RadioSelect,
        initial=0,
        choices=[
            (0, gettext_lazy("go on as planned")),
            (3, gettext_lazy("rest for three days")),
            (7, gettext_lazy("rest for a week")),
        ],
    )


@require_http_methods(["GET", "HEAD", "POST"])
@for_owner
def office_put_off(request: HttpRequest, ref: str) -> HttpResponse:
    """Let the nudges of a job rest for a while. A press names `days`; the page asks for a day."""
    job = find_job(ref)
    form = PutOffForm(request.POST if request.method == "POST" else None)
    by = request.actor  # type: ignore[attr-defined]
    if form.is_bound and carried_out(form, lambda: pause(job, by, form.day, form.cleaned_data["because"])):
        return go(
            request,
            back_to(request, job),
            _put_off_words(job, form.day),
        )
    told = {"here": "office", "tab": "owed", "job": job, "form": form, **_way_back(request, job)}
    return render(request, "office/put_off.html", told, status=status(form))


@require_POST
@for_owner
def office_take_up(request: HttpRequest, ref: str) -> HttpResponse:
    job = find_job(ref)
    by = request.actor  # type: ignore[attr-defined]
    return press(request, job, lambda: resume(job, by), _("Reminders to %(name)s go on.") % named(job))


@require_http_methods(["GET", "HEAD", "POST"])
@for_owner
def office_ring(request: HttpRequest, ref: str) -> HttpResponse:
    """What to say, and a place to note what was said. `thing` names what the call is about; else it is what gains most."""
    job = find_job(ref)
    form = RingForm(request.POST if request.method == "POST" else None)
    by = request.actor  # type: ignore[attr-defined]

    if form.is_bound and carried_out(
        form, lambda: note_call(job, form.cleaned_data["text"], by, form.cleaned_data["rest"])
    ):
        return go(request, back_to(request, job), _("Noted."))
    owings = list(Owing.objects.filter(job=job).select_related("job__item", "job__customer"))
    wanted = request.GET.get("thing", "")
    owings.sort(
        key=lambda owing: owing.thing != wanted
    )  # what was asked for first, the others by what a call gains
    told = {
        "here": "office",
        "tab": "owed",
        "job": job,
        "form": form,
        **_way_back(request, job),
        "rows": rows(owings),
        "sentences": opening(facts_of(owings[0], by.name)) if owings else [],
        "notes": job.entries.filter(kind="called").order_by("-seq")[:3],
    }
    return render(request, "office/ring.html", told, status=status(form))


def _put_off_words(job: Job, until: date | None) -> str:
    if until is None:
        return _("Put off. No reminder goes to %(name)s until you take it up again.") % named(job)
    told = named(job) | {"day": date_format(until, _("l j F"))}
    return _("Put off. No reminder goes to %(name)s before %(day)s.") % told


def _way_back(request: HttpRequest, job: Job) -> dict[str, str]:
    """To the list as it was, or to the job's page: what the form carries along, and the address."""
    asked = request.POST if request.method == "POST" else request.GET
    return {"back": asked.get("back", ""), "at": asked.get("at", ""), "back_to": back_to(request, job)}
