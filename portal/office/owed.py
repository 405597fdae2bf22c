"""What customers owe us: who, what and since when, what follows, and whom a call would gain most; as a page and as a file."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

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
    choice = Choice.read(request.GET)
    owings, more = choice.rows()
    axis = axis_of(owings)
    told = {
        "here": "office",
        "tab": "owed",
        "brief": owed(),
        "choice": choice,
        "rows": rows(owings, axis),
        "waited_head": days.waited_head(axis),
        "more": more,
    }
    return render(request, "office/owed.html", told)


@require_safe
@for_owner
def office_owed_file(request: HttpRequest) -> HttpResponse:
    """The same, of all pages, for a spreadsheet. It changes nothing, so it is a GET."""
    choice = Choice.read(request.GET)
    name = f"owed-{timezone.localdate().isoformat()}.csv"
    return attachment(name, owed_file.head(), owed_file.lines(choice))
