"""What customers owe us: who, what and since when, what follows, and whom a call would gain most; as a page and as a file."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from jobs.models import Workshop
from portal.access import for_owner
from portal.drawing import days
from portal.office import owed_file
from portal.office.owed_brief import owed
from portal.office.owed_choice import Choice
from portal.office.owed_rows import axis_of, rows
from portal.spreadsheet import attachment


@require_safe
@for_owner
def office_owed(request: HttpRequest) -> HttpResponse:
    """`order`, `about`, `state` and `after` are those of owed_choice.Choice."""
    house = Workshop.objects.current()
    choice = _choice(request, house)
    owings, more = choice.rows()
    axis = axis_of(owings)
    found = rows(owings, axis)
    told = {
        "here": "office",
        "tab": "owed",
        "brief": owed(choice.terms),
        "choice": choice,
        "rows": found,
        "in_storage": any(row.storage and row.storage.counts for row in found),
        "waited_head": days.waited_head(axis),
        "more": more,
        "workshop": house,  # in place of the one that the template would look up
    }
    return render(request, "office/owed.html", told)


@require_safe
@for_owner
def office_owed_file(request: HttpRequest) -> HttpResponse:
    """The same, of all pages, for a spreadsheet. It changes nothing, so it is a GET."""
    choice = _choice(request, Workshop.objects.current())
    name = f"owed-{timezone.localdate().isoformat()}.csv"
    return attachment(name, owed_file.head(), owed_file.lines(choice))


def _choice(request: HttpRequest, house: Workshop | None) -> Choice:
    return Choice.read(request.GET, bool(house and house.has_storage_terms))
