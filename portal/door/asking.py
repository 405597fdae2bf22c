"""Asking for a new private link, with a reference or an e-mail address. The answer never tells whether we know either."""

import time

from django import forms
from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.db.models import Case, Value, When
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_http_methods, require_safe

from jobs import refs, stages
from jobs.actions.linking import ask_for_link
from jobs.actor import HOUSE
from jobs.models import Job
from portal.access import for_everyone
from portal.answers import see_other
from portal.limits import network, take

ASKS, ASKS_SECONDS = 10, 3600  # from one network
SENT, SENT_SECONDS = 3, 3600  # for one contact, and for one job
HANDFUL = 5
ANSWER_SECONDS = (
    0.4  # longer than the work for somebody we know takes, so that the clock tells nothing either
)


class FindForm(forms.Form):
    """A reference as people write it, or an e-mail address."""

    contact = forms.CharField(
        label=_("Your reference or your e-mail address"),
        max_length=254,
        help_text=_("The reference stands in every letter from us and reads like 4TM7-QKR."),
        widget=forms.TextInput(
            attrs={"autocomplete": "email", "autocapitalize": "off", "spellcheck": "false"}
        ),
        error_messages={
            "required": _("Type the reference of your repair, or the e-mail address we write to.")
        },
    )

    def clean_contact(self) -> str:
        """A tidy reference, or an address in lower case."""
        contact: str = self.cleaned_data["contact"]
        if "@" in contact:
            return _address(contact)
        try:
            return refs.tidy(contact)
        except refs.BadRef:
            raise ValidationError(
                _("One sign of this reference is not right. Look again, or type your e-mail address instead.")
            ) from None


@require_http_methods(["GET", "HEAD", "POST"])
@for_everyone
def find(request: HttpRequest) -> HttpResponse:
    started = time.monotonic()
    form = FindForm(request.POST or None)
    if request.method != "POST":
        return render(request, "door/find.html", {"form": form})
    if not take(f"find:{network(request)}", ASKS, ASKS_SECONDS):
        return render(request, "door/too_often.html", status=429)
    if not form.is_valid():
        return render(request, "door/find.html", {"form": form}, status=422)
    contact = form.cleaned_data["contact"]
    if take(f"find-contact:{contact}", SENT, SENT_SECONDS):
        for job in jobs_of(contact):
            ask(job)
    take_as_long_as_ever(started)
    return see_other(request, reverse("link_asked"))


@require_safe
@for_everyone
def link_asked(request: HttpRequest) -> HttpResponse:
    return render(request, "door/asked.html")


def jobs_of(contact: str) -> list[Job]:
    """The job of a reference; of an address its open jobs, or else the last one: the warranty is there too."""
    if "@" not in contact:
        return list(Job.objects.with_people().filter(ref=contact))
    over = Case(When(stage__in=stages.OVER, then=Value(1)), default=Value(0))
    found = Job.objects.with_people().filter(customer__email__iexact=contact).annotate(over=over)
    newest = list(found.order_by("over", "-created_at")[:HANDFUL])
    return [job for job in newest if not job.is_over] or newest[:1]


def ask(job: Job) -> None:
    """Have a letter with a new link sent to the address on file, a few times an hour at most. Who asks is not known."""
    if take(f"link:{job.pk}", SENT, SENT_SECONDS):
        ask_for_link(job, HOUSE)


def take_as_long_as_ever(started: float) -> None:
    """Wait until `ANSWER_SECONDS` after `started` (time.monotonic)."""
    time.sleep(max(0.0, started + ANSWER_SECONDS - time.monotonic()))


def _address(contact: str) -> str:
    try:
        validate_email(contact)
    except ValidationError:
        raise ValidationError(
            _("Something is missing in this e-mail address. It reads name@example.org.")
        ) from None
    return contact.casefold()
