"""Messages that came in: what was set aside, and why; taking one to its job, or laying it aside as seen."""

from typing import Any

from django import forms
from django.db.models import QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_POST, require_safe

from jobs import refs
from jobs.darkroom import store
from jobs.models import Job
from notifications.models import Incoming
from notifications.replies.by_hand import lay_aside, take_by_hand
from portal.access import for_owner
from portal.answers import carried_out, go
from portal.office.forms import Plain
from portal.office.senders import open_jobs_of

ROWS = 30
State = Incoming.State
SHOWN = {"": State.ASIDE, "robots": State.ROBOT, "taken": State.TAKEN, "seen": State.DONE}


class TakeForm(Plain):
    """To which job a message belongs."""

    missing = {"ref": gettext_lazy("Which job is it about? Type its reference.")}
    ref = forms.CharField(
        label=gettext_lazy("Reference of the job"),
        max_length=20,
        widget=forms.TextInput(attrs={"autocomplete": "off", "class": "short"}),
    )

    def __init__(self, incoming: Incoming, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, auto_id=f"message-{incoming.pk}-%s", **kwargs)

    def clean_ref(self) -> Job:
        try:
            return Job.objects.with_people().get(ref=refs.tidy(self.cleaned_data["ref"]))
        except (refs.BadRef, Job.DoesNotExist):
            raise forms.ValidationError(_("There is no job of that reference.")) from None


@require_safe
@for_owner
def office_incoming(request: HttpRequest) -> HttpResponse:
    """Newest first. `show` is one of SHOWN; `before` the last number of the page above."""
    show = request.GET.get("show", "")
    if show not in SHOWN:
        raise Http404
    return _page(request, show)


@require_safe
@for_owner
def office_incoming_file(request: HttpRequest, pk: int) -> HttpResponse:
    """The message as it came, to take away and open in a mail program. A browser is never asked to show it."""
    incoming = get_object_or_404(Incoming, pk=pk)
    try:
        raw = store.path(incoming.file).read_bytes()
    except OSError:
        raise Http404 from None
    response = HttpResponse(raw, content_type="message/rfc822")
    response["Content-Disposition"] = f'attachment; filename="message-{incoming.pk}.eml"'
    response["Content-Security-Policy"] = "default-src 'none'; sandbox"
    return response


@require_POST
@for_owner
def office_incoming_take(request: HttpRequest, pk: int) -> HttpResponse:
    """Put a message to a job as its customer's question."""
    incoming = get_object_or_404(Incoming, pk=pk)
    form = TakeForm(incoming, request.POST)
    by = request.actor
    if not carried_out(form, lambda: take_by_hand(incoming, form.cleaned_data["ref"], by)):
        return _page(request, _where(incoming), (incoming, form))
    job = form.cleaned_data["ref"]
    return go(request, reverse("bench_job", args=[job.shown_ref]), _("The letter stands with this job now."))


@require_POST
@for_owner
def office_incoming_seen(request: HttpRequest, pk: int) -> HttpResponse:
    lay_aside(get_object_or_404(Incoming, pk=pk))
    return go(request, reverse("office_incoming"), _("Laid aside."))


def _page(request: HttpRequest, show: str, typed: tuple[Incoming, TakeForm] | None = None) -> HttpResponse:
    before = request.GET.get("before", "")
    found = list(_messages(show, before)[: ROWS + 1])
    known = open_jobs_of(found[:ROWS])
    told = {
        "here": "office",
        "tab": "letters",
        "show": show,
        "messages_in": [(one, _form(one, typed), known.get(one.from_address, [])) for one in found[:ROWS]],
        "more": found[ROWS - 1].pk if len(found) > ROWS else None,
    }
    return render(request, "office/incoming.html", told, status=422 if typed else 200)


def _messages(show: str, before: str) -> "QuerySet[Incoming]":
    messages = Incoming.objects.filter(state=SHOWN[show]).select_related("job__item", "job__customer")
    if before.isascii() and before.isdigit() and len(before) < 19:
        messages = messages.filter(pk__lt=int(before))
    return messages.order_by("-pk")


def _form(incoming: Incoming, typed: tuple[Incoming, TakeForm] | None) -> TakeForm | None:
    if typed and typed[0].pk == incoming.pk:
        return typed[1]
    if incoming.state == State.TAKEN:
        return None
    return TakeForm(incoming, initial={"ref": incoming.job.shown_ref if incoming.job else ""})


def _where(incoming: Incoming) -> str:
    return next((show for show, state in SHOWN.items() if state == incoming.state), "")
