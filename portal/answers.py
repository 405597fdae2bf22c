"""How a form is answered: on to another page when it is done, the same page with a sentence when it is not."""

from collections.abc import Callable

from django.contrib import messages
from django.forms import Form
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django_htmx.http import HttpResponseClientRedirect

from jobs.actions.refusals import Refused


def see_other(request: HttpRequest, to: str) -> HttpResponse:
    """Go on to a page: 303 without htmx; with it a header, because a redirect would be followed out of sight."""
    if request.headers.get("HX-Request"):
        return HttpResponseClientRedirect(to)
    return HttpResponseRedirect(to, status=303)


def go(request: HttpRequest, address: str, said: str = "") -> HttpResponse:
    """On to `address` after a success; `said` stands at the top of the next page."""
    if said:
        messages.success(request, said)
    return see_other(request, address)


def refuse(form: Form, refused: Refused) -> None:
    """Put an action's refusal beside the field that it is about, or at the top where the form has no such field."""
    form.add_error(refused.field if refused.field in form.fields else None, refused.sentence)


def carried_out(form: Form, action: Callable[[], object]) -> bool:
    """Whether the form is right and the action went through. If not, the form says why."""
    if not form.is_valid():
        return False
    try:
        action()
    except Refused as refused:
        refuse(form, refused)
    return not form.errors


def status(form: Form) -> int:
    """422 for a form that came back with something to mend, else 200."""
    return 422 if form.is_bound and form.errors else 200
