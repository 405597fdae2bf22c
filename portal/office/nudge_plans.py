"""When customers are reminded of what they owe: a plan for each thing that can be owed."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from jobs.actions.chase_plans import USUAL, Step, keep_plan
from jobs.models import NudgeStep
from jobs.words import Owes
from portal.access import for_owner
from portal.answers import carried_out, see_other, status
from portal.office.plan_form import PlanForm
from portal.office.plan_words import in_words
from portal.office.views import the_house

TITLES: dict[str, Promise] = {
    Owes.QUOTE: gettext_lazy("An answer to a quote"),
    Owes.QUESTION: gettext_lazy("An answer to our question"),
    Owes.PAYMENT: gettext_lazy("Payment"),
    Owes.COLLECTION: gettext_lazy("Collecting it"),
}


@dataclass(frozen=True)
class Part:
    """One thing that can be owed, its plan in words, and the form for it. `is_usual`: the plan is the one that a workshop begins with."""

    about: str
    title: Promise
    words: str
    form: PlanForm
    is_usual: bool


@require_http_methods(["GET", "HEAD", "POST"])
@for_owner
def office_nudges(request: HttpRequest) -> HttpResponse:
    """Keep one of the plans (`about`); take a row out of it (`out`); or put the usual one in its place (`usual`)."""
    the_house()
    if request.method != "POST":
        return _page(request)
    about = request.POST.get("about", "")
    if about not in TITLES:
        return HttpResponse(status=422)
    if "usual" in request.POST:
        keep_plan(about, USUAL[about])
        return _kept(request, about)
    form = PlanForm(about, request.POST)
    if carried_out(form, lambda: keep_plan(about, form.steps(without=_number(request.POST.get("out", ""))))):
        return _kept(request, about)
    return _page(request, form)


def _page(request: HttpRequest, came_back: PlanForm | None = None) -> HttpResponse:
    plans: dict[str, list[Step]] = {about: [] for about in TITLES}
    for row in NudgeStep.objects.order_by("about", "n"):
        plans[row.about].append(Step(row.wait, row.tone, row.way))
    parts = [_part(about, steps, came_back) for about, steps in plans.items()]
    told = {"here": "office", "tab": "settings", "parts": parts}
    return render(request, "office/nudges.html", told, status=status(came_back) if came_back else 200)


def _part(about: str, steps: Sequence[Step], came_back: PlanForm | None) -> Part:
    form = came_back if came_back and came_back.about == about else PlanForm(about, steps=steps)
    return Part(about, TITLES[about], in_words(about, steps), form, tuple(steps) == USUAL[about])


def _number(text: str) -> int:
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 3 else 0


def _kept(request: HttpRequest, about: str) -> HttpResponse:
    messages.success(request, _("Kept. It counts for everybody who owes it, within the hour."))
    return see_other(request, reverse("office_nudges") + f"#{about}")
