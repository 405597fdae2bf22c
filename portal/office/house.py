"""The workshop's settings, and the mailbox with its test letter."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from jobs.actions.house import change_house
from jobs.actions.refusals import Refused
from jobs.models import Workshop
from notifications.mailbox import keep_account
from notifications.models import MailAccount
from notifications.sealing import CannotUnseal, unseal
from portal import clock
from portal.access import for_owner
from portal.answers import see_other
from portal.limits import take
from portal.office.forms import MailForm, SettingsForm
from portal.office.mail_test import Told, try_mailbox
from portal.office.views import the_house

MAIL_FIELDS = ("host", "port", "security", "user", "from_address")


@require_http_methods(["GET", "HEAD", "POST"])
@for_owner
def office_settings(request: HttpRequest) -> HttpResponse:
    house = the_house()
    if request.method != "POST":
        return _page(request, house)
    form = SettingsForm(request.POST, currency=house.currency)
    if not form.is_valid():
        return _page(request, house, form=form)
    try:
        change_house(house, form.house())
    except Refused as refused:
        form.add_error(refused.field or None, refused.sentence)
        return _page(request, the_house(), form=form)
    clock.remember(house.time_zone)
    messages.success(request, _("Kept."))
    return see_other(request, reverse("office_settings"))


@sensitive_post_parameters()
@require_POST
@for_owner
def office_mailbox(request: HttpRequest) -> HttpResponse:
    """Keep the mailbox, or (`test`) try what is typed without keeping it. An empty password stands for the one that is kept."""
    house, form = the_house(), MailForm(request.POST)
    if not form.is_valid():
        return _page(request, house, mail=form)
    if "test" in request.POST:
        return _test(request, house, form)
    if form.cleaned_data["host"]:
        keep_account(password=form.cleaned_data["mail_password"] or None, **form.account())
    else:
        MailAccount.objects.all().delete()
    messages.success(request, _("Kept. Letters go out this way from now on."))
    return see_other(request, reverse("office_settings"))


def _test(request: HttpRequest, house: Workshop, form: MailForm) -> HttpResponse:
    if not take("test-letter", 20, 3600):
        return render(request, "door/too_often.html", status=429)
    told = try_mailbox(form, house.email or request.user.email, _kept_password(form))  # type: ignore[union-attr]
    return _page(request, house, mail=form, told=told)


def _page(
    request: HttpRequest,
    house: Workshop,
    form: SettingsForm | None = None,
    mail: MailForm | None = None,
    told: Told | None = None,
) -> HttpResponse:
    account = MailAccount.objects.current()
    page = {
        "here": "office",
        "tab": "settings",
        "form": form or SettingsForm(initial=vars(house), currency=house.currency),
        "mail": mail or MailForm(initial=_typed(account)),
        "account": account,
        "told": told,
    }
    went_well = (form is None and mail is None) or (told is not None and told.went)
    return render(request, "office/settings.html", page, status=200 if went_well else 422)


def _typed(account: MailAccount | None) -> dict[str, object]:
    """What is kept, without the password: that one never comes back to a page."""
    if account is None:
        return {"port": 587, "security": MailAccount.Security.STARTTLS}
    return {name: getattr(account, name) for name in MAIL_FIELDS}


def _kept_password(form: MailForm) -> str:
    """The password that is kept, for the server and user that it is kept for: another server must not get it."""
    account = MailAccount.objects.current()
    typed = form.cleaned_data
    if account is None or (account.host, account.user) != (typed["host"], typed["user"]):
        return ""
    try:
        return unseal(account.sealed_password)
    except CannotUnseal:
        return ""
