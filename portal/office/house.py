"""The workshop's settings, its tables of rates and months, and the mailbox with its test letter."""

from collections.abc import Callable

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from jobs.actions import tables
from jobs.actions.house import change_house
from jobs.models import TaxRate, WarrantyTerm, Workshop
from notifications.mailbox import keep_account
from notifications.models import MailAccount
from notifications.sealing import CannotUnseal, unseal
from portal import clock
from portal.access import for_owner
from portal.accounts import percent
from portal.answers import carried_out, see_other
from portal.limits import take
from portal.office.mail_test import Told, try_mailbox
from portal.office.mailbox_forms import MailForm
from portal.office.settings_forms import SettingsForm, TaxRateForm, WarrantyTermForm
from portal.office.views import the_house

MAIL_FIELDS = ("host", "port", "security", "user", "from_address")


@require_http_methods(["GET", "HEAD", "POST"])
@for_owner
def office_settings(request: HttpRequest) -> HttpResponse:
    house = the_house()
    if request.method != "POST":
        return _page(request, house)
    form = SettingsForm(request.POST, currency=house.currency)
    if not carried_out(form, lambda: change_house(house, form.house())):
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


@require_POST
@for_owner
def office_tax_rate(request: HttpRequest) -> HttpResponse:
    """One more rate of tax; or (`out`) one less."""
    if "out" in request.POST:
        return _out(request, tables.drop_tax_rate, "rates")
    form = TaxRateForm(request.POST)
    if carried_out(form, lambda: tables.add_tax_rate(**form.cleaned_data)):
        return _kept(request, "rates")
    return _page(request, the_house(), rate=form)


@require_POST
@for_owner
def office_warranty_term(request: HttpRequest) -> HttpResponse:
    """Other months of warranty for certain work; or (`out`) the usual ones again."""
    if "out" in request.POST:
        return _out(request, tables.drop_warranty_term, "terms")
    form = WarrantyTermForm(request.POST)
    if carried_out(form, lambda: tables.put_warranty_term(**form.cleaned_data)):
        return _kept(request, "terms")
    return _page(request, the_house(), term=form)


def _out(request: HttpRequest, drop: Callable[[int], None], part: str) -> HttpResponse:
    """Take the row away that `out` names. One that is gone already is no fault: two presses are one."""
    number = request.POST["out"]
    if not (number.isascii() and number.isdecimal() and len(number) < 10):
        return HttpResponse(status=422)
    drop(int(number))
    return _kept(request, part)


def _kept(request: HttpRequest, part: str) -> HttpResponse:
    messages.success(request, _("Kept."))
    return see_other(request, reverse("office_settings") + f"#{part}")


def _test(request: HttpRequest, house: Workshop, form: MailForm) -> HttpResponse:
    if not take("test-letter", 20, 3600):
        return render(request, "door/too_often.html", status=429)
    told = try_mailbox(form, house.email or request.user.email, _kept_password(form))
    return _page(request, house, mail=form, told=told)


def _page(
    request: HttpRequest,
    house: Workshop,
    form: SettingsForm | None = None,
    mail: MailForm | None = None,
    told: Told | None = None,
    rate: TaxRateForm | None = None,
    term: WarrantyTermForm | None = None,
) -> HttpResponse:
    account = MailAccount.objects.current()
    page = {
        "here": "office",
        "tab": "settings",
        "form": form or SettingsForm(initial=vars(house), currency=house.currency),
        "mail": mail or MailForm(initial=_typed(account)),
        "account": account,
        "provider": settings.MAIL_PROVIDER,
        "told": told,
        "rates": [(row, percent(row.rate_bp)) for row in TaxRate.objects.all()],
        "rate": rate or TaxRateForm(),
        "terms": WarrantyTerm.objects.all(),
        "term": term or WarrantyTermForm(),
    }
    came_back = form or mail or rate or term
    went_well = came_back is None or (told is not None and told.went)
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
