"""The first page of an empty workshop. A one-time key, printed in the terminal, keeps everybody else from becoming its owner."""

import hmac
from dataclasses import dataclass

from django import forms
from django.contrib import messages
from django.contrib.auth import login
from django.core.exceptions import ValidationError
from django.db import transaction
from django.forms import BoundField
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from jobs.actions.house import open_house
from jobs.actions.refusals import Refused
from jobs.models import Staff, Workshop
from jobs.words import TaxMode
from notifications.mailbox import keep_account
from portal import clock, state
from portal.access import for_everyone, in_staff_language
from portal.answers import see_other
from portal.limits import network, take
from portal.office.forms import HouseForm, Plain
from portal.office.mail_test import try_mailbox
from portal.office.mailbox_forms import MailForm

TRIES, TRIES_SECONDS = 10, 900
BEGINNING = {
    "time_zone": "Europe/London",
    "currency": "GBP",
    "tax_mode": TaxMode.NONE,
    "security": "starttls",
    "port": 587,
}


class KeyForm(Plain):
    missing = {"key": gettext_lazy("The key stands in the terminal in which Benchletter was started.")}

    key = forms.CharField(
        label=gettext_lazy("One-time key"),
        max_length=200,
        help_text=gettext_lazy("Printed in the terminal in which Benchletter was started."),
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "off", "spellcheck": "false"}),
    )

    def clean_key(self) -> str:
        typed: str = self.cleaned_data["key"]
        if not is_the_key(typed):
            raise ValidationError(gettext_lazy("This is not the key. Copy it from the terminal once more."))
        return typed


class OwnerForm(Plain):
    missing = {
        "full_name": gettext_lazy("Customers read this name under your answers."),
        "username": gettext_lazy("Which name will you log in with?"),
        "password": gettext_lazy("Choose a password of twelve signs or more."),
        "again": gettext_lazy("Type the password once more."),
    }

    full_name = forms.CharField(label=gettext_lazy("Your name"), max_length=150)
    username = forms.SlugField(
        label=gettext_lazy("Name to log in with"),
        max_length=60,
        widget=forms.TextInput(attrs={"autocapitalize": "off", "autocomplete": "username"}),
        error_messages={"invalid": gettext_lazy("Letters, figures and hyphens only.")},
    )
    password = forms.CharField(
        label=gettext_lazy("Password"),
        max_length=200,
        strip=False,
        widget=forms.PasswordInput(render_value=True, attrs={"autocomplete": "new-password"}),
        help_text=gettext_lazy(
            "Twelve signs or more. A few words that only you would put together are best."
        ),
    )
    again = forms.CharField(
        label=gettext_lazy("Password once more"),
        max_length=200,
        strip=False,
        widget=forms.PasswordInput(render_value=True, attrs={"autocomplete": "new-password"}),
    )

    def clean_again(self) -> str:
        again: str = self.cleaned_data["again"]
        if again != self.cleaned_data.get("password", again):
            raise ValidationError(gettext_lazy("The two are not the same."))
        return again


@dataclass
class Sheet:
    """The four forms of the page."""

    key: KeyForm
    house: HouseForm
    mail: MailForm
    owner: OwnerForm

    def parts(self) -> list[Plain]:
        return [self.key, self.house, self.mail, self.owner]

    def general(self) -> list[str]:
        """What is wrong with the whole, not with one field."""
        return [error for part in self._sent() for error in part.non_field_errors()]

    def wrong_fields(self) -> list[BoundField]:
        return [field for part in self._sent() for field in part if field.errors]

    def wrongs(self) -> int:
        return len(self.general()) + len(self.wrong_fields())

    def _sent(self) -> list[Plain]:
        return [part for part in self.parts() if part.is_bound]

    def is_valid(self) -> bool:
        return all([part.is_valid() for part in self.parts()])  # noqa: C419  every part has to say what is wrong


@sensitive_post_parameters()
@require_http_methods(["GET", "HEAD", "POST"])
@for_everyone
@in_staff_language
def first_run(request: HttpRequest) -> HttpResponse:
    """404 as soon as there is a workshop."""
    if Workshop.objects.current() is not None:
        raise Http404
    if request.method != "POST":
        return _page(request, _fresh())
    if not (
        take(f"first-run:{network(request)}", TRIES, TRIES_SECONDS)
        and take("first-run", 5 * TRIES, TRIES_SECONDS)
    ):
        return render(request, "door/too_often.html", status=429)
    if "test" in request.POST:
        return _test(request)
    return _begin(request)


def is_the_key(typed: str) -> bool:
    key = state.secret(state.FIRST_RUN_KEY)
    return bool(key) and hmac.compare_digest(typed.strip().encode(), str(key).encode())


def _test(request: HttpRequest) -> HttpResponse:
    """Try the mailbox. Nothing is stored, and nothing that was typed is lost."""
    typed = request.POST.dict()
    sheet = Sheet(
        KeyForm(request.POST), HouseForm(initial=typed), MailForm(request.POST), OwnerForm(initial=typed)
    )
    told = None
    if sheet.key.is_valid() and sheet.mail.is_valid():
        told = try_mailbox(sheet.mail, to=typed.get("email", ""))
    return _page(request, sheet, told, 200 if told and told.went else 422)


def _begin(request: HttpRequest) -> HttpResponse:
    sheet = Sheet(
        KeyForm(request.POST), HouseForm(request.POST), MailForm(request.POST), OwnerForm(request.POST)
    )
    if not sheet.is_valid():
        return _page(request, sheet, status=422)
    try:
        owner = _open(sheet)
    except Refused as refused:
        sheet.owner.add_error(refused.field or None, refused.sentence)
        return _page(request, sheet, status=422)
    (state.var_dir() / state.FIRST_RUN_KEY).unlink(missing_ok=True)
    clock.remember(sheet.house.cleaned_data["time_zone"])
    login(request, owner, backend="django.contrib.auth.backends.ModelBackend")
    messages.success(request, _("The workshop is open. Customers can book in from now on."))
    return see_other(request, reverse("office"))


@transaction.atomic
def _open(sheet: Sheet) -> Staff:
    told = sheet.owner.cleaned_data
    owner = open_house(
        sheet.house.house(),
        username=told["username"],
        full_name=told["full_name"],
        email=sheet.house.cleaned_data["email"],
        password=told["password"],
    )
    if sheet.mail.cleaned_data["host"]:
        keep_account(password=sheet.mail.cleaned_data["mail_password"], **sheet.mail.account())
    return owner


def _fresh() -> Sheet:
    return Sheet(KeyForm(), HouseForm(initial=BEGINNING), MailForm(initial=BEGINNING), OwnerForm())


def _page(request: HttpRequest, sheet: Sheet, told: object = None, status: int = 200) -> HttpResponse:
    return render(request, "door/first_run.html", {"sheet": sheet, "told": told}, status=status)
