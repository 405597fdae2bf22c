"""The settings of text messages, tried before they are kept."""

from uuid import uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from notifications import texting
from notifications.channels.base import Undelivered
from notifications.models import TextDay, TextGateway
from portal.access import for_owner
from portal.answers import see_other
from portal.limits import take
from portal.office.mail_test import Told, its_words
from portal.office.texts_form import KEPT, TextsForm

USUAL = {
    "kind": TextGateway.Body.JSON,
    "body": '{"to": "{to}", "text": "{text}", "from": "{sender}"}',
    "header": "Authorization: Bearer {secret}",
    "daily_most": 50,
}
# How a failure begins -> what it means. In order: the first that fits is told.
MEANINGS: list[tuple[str, Promise]] = [
    ("gaierror", gettext_lazy("There is no machine of that name. Look at the address.")),
    ("NameResolutionError", gettext_lazy("There is no machine of that name. Look at the address.")),
    ("NotAllowed", gettext_lazy("That name leads to a machine that is not public, so we did not ask it.")),
    ("ConnectionRefusedError", gettext_lazy("The machine does not answer at this address.")),
    ("TimeoutError", gettext_lazy("Nobody answered in time.")),
    ("SSLCertVerificationError", gettext_lazy("Its certificate does not fit its name, so we said nothing.")),
    ("401", gettext_lazy("It does not take this secret.")),
    ("403", gettext_lazy("It does not take this secret, or does not let you do this.")),
    ("402", gettext_lazy("It wants to be paid first.")),
    ("404", gettext_lazy("There is nothing at this address.")),
    ("30", gettext_lazy("It sends us to another address, where we do not follow. Type that one.")),
    ("429", gettext_lazy("It asks us to go slower.")),
    ("4", gettext_lazy("It did not take the message: look at the body, the sender and the number.")),
    ("5", gettext_lazy("Something is wrong on its side.")),
]


@sensitive_post_parameters()
@require_http_methods(["GET", "HEAD", "POST"])
@for_owner
def office_texts(request: HttpRequest) -> HttpResponse:
    """Keep the gateway, or (`test`) try what is typed without keeping it. An empty secret stands for the one that is kept."""
    if request.method != "POST":
        return _page(request)
    form = TextsForm(request.POST)
    if not form.is_valid():
        return _page(request, form)
    if "test" in request.POST:
        return _test(request, form)
    if form.cleaned_data["url"]:
        door = form.gateway()  # before the row changes: the secret is kept for its machine alone
        texting.keep(secret=door.secret, **form.row())
        messages.success(request, _("Kept. Customers are offered text messages on their page."))
    else:
        texting.forget()
        messages.success(request, _("Kept. No text messages go out."))
    return see_other(request, reverse("office_texts"))


def _test(request: HttpRequest, form: TextsForm) -> HttpResponse:
    for name, sentence in (
        ("url", _("Where do text messages go?")),
        ("number", _("Which number shall we try?")),
    ):
        if not form.cleaned_data[name]:
            form.add_error(name, sentence)
    if form.errors:
        return _page(request, form)
    if not take("test-text", 10, 3600):
        return render(request, "door/too_often.html", status=429)
    try:
        taken = texting.send_test(form.gateway(), form.cleaned_data["number"], uuid4().hex)
    except Undelivered as problem:
        return _page(
            request, form, Told(False, f"{_meaning(problem.reason)} {its_words(problem.reason)}".strip())
        )
    return _page(
        request, form, Told(True, _("Look at the telephone. %(words)s") % {"words": its_words(taken.said)})
    )


def _page(request: HttpRequest, form: TextsForm | None = None, told: Told | None = None) -> HttpResponse:
    row = TextGateway.objects.current()
    page = {
        "here": "office",
        "tab": "settings",
        "row": row,
        "form": form or TextsForm(initial={name: getattr(row, name) for name in KEPT} if row else USUAL),
        "told": told,
        "today": TextDay.objects.filter(day=timezone.localdate()).values_list("n", flat=True).first() or 0,
    }
    went_well = form is None or (told is not None and told.went)
    return render(request, "office/texts.html", page, status=200 if went_well else 422)


def _meaning(reason: str) -> str:
    return str(next((words for start, words in MEANINGS if reason.startswith(start)), ""))
