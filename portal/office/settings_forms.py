"""The settings of a workshop that is open: prices, how customers pay, codes, warranty; and rows of its two tables."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from jobs.words import AgainRule, LineKind, Mechanism, TaxCategory
from portal.office.fields import MoneyField, PercentField, WholeField
from portal.office.forms import LONG, HouseForm, Plain
from portal.office.paying_fields import BicField, HolderField, IbanField, PayLinkField


class SettingsForm(HouseForm):
    """The same and what has a good default in the beginning."""

    signed_by = forms.CharField(label=_("Letters are signed by"), max_length=80, required=False)
    quote_days = WholeField(label=_("Days a quote is good for"), least=1, most=365)
    hour_price = MoneyField(
        label=_("Price of an hour at the bench"),
        required=False,
        help_text=_("New lines by time begin with it."),
    )
    assessment_fee = MoneyField(label=_("Price of an examination"), required=False)
    credits_assessment = forms.BooleanField(
        label=_("Take the examination off again when work is agreed"), required=False
    )
    carriage_fee = MoneyField(label=_("Price of insured post home"), required=False)
    deposit_bp = PercentField(
        label=_("Deposit in per cent"),
        required=False,
        help_text=_("Of what a quote needs. 0: none. Each quote may ask for another sum."),
    )

    account_words = forms.CharField(
        label=_("How to pay, in words"),
        max_length=400,
        required=False,
        widget=LONG,
        help_text=_(
            "Cash, card at the counter, a sort code: as you would say it. Customers read this first."
        ),
    )
    account_holder = HolderField(label=_("Account holder"), max_length=70, required=False)
    iban = IbanField(label="IBAN", max_length=60, required=False)
    bic = BicField(
        label="BIC",
        max_length=20,
        required=False,
        help_text=_(
            "A code for banks’ apps needs it where the account is outside the European Economic Area."
        ),
    )
    pay_link = PayLinkField(
        label=_("Payment link"),
        max_length=300,
        required=False,
        widget=forms.TextInput(attrs={"inputmode": "url", "autocomplete": "off"}),
        help_text=_("https only. {reference} and {amount} are filled in, if you write them."),
    )

    code_above = MoneyField(
        label=_("Ask for a code by letter above this sum"),
        required=False,
        empty_value=None,
        help_text=_("Six figures go to their address before such an answer counts. Empty: never for a sum."),
    )
    code_for_new_devices = forms.BooleanField(
        label=_("Ask for a code from a device that we do not know"), required=False
    )

    warranty_months = WholeField(label=_("Months of warranty"), most=120)
    again_rule = forms.ChoiceField(
        label=_("What was mended again under warranty is covered"),
        choices=AgainRule.choices,
        widget=forms.RadioSelect,
        error_messages={"invalid_choice": _("Press one of these.")},
    )
    again_months = WholeField(label=_("At least so many months"), most=120)

    MONEY = ("hour_price", "assessment_fee", "carriage_fee", "code_above")

    def __init__(self, *args: Any, currency: str = "GBP", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in self.MONEY:
            self.fields[name].currency = currency

    def clean(self) -> dict[str, Any]:
        told = super().clean()
        if told.get("iban") and not told.get("account_holder") and "account_holder" not in self.errors:
            self.add_error(
                "account_holder", ValidationError(_("Whose account is it? It stands beside the IBAN."))
            )
        if told.get("bic") and not told.get("iban") and "iban" not in self.errors:
            self.add_error("iban", ValidationError(_("A BIC alone leads nowhere. Which account is it?")))
        return told


class TaxRateForm(Plain):
    """A further rate of tax, beside the usual one."""

    prefix = "rate"
    missing = {"name": _("What is it for?")}

    name = forms.CharField(label=_("What it is for"), max_length=60, help_text=_("Post, for example."))
    category = forms.ChoiceField(
        label=_("Kind"),
        choices=TaxCategory.choices,
        initial=TaxCategory.STANDARD,
        error_messages={"invalid_choice": _("Choose one of these.")},
    )
    rate_bp = PercentField(label=_("Rate in per cent"), required=False)


class WarrantyTermForm(Plain):
    """Months for a kind of line, a mechanism, or both."""

    prefix = "term"
    missing = {"months": _("How many months?")}

    kind = forms.ChoiceField(
        label=_("On"),
        choices=[("", _("work and parts of any kind")), *LineKind.choices[:2]],
        required=False,
        error_messages={"invalid_choice": _("Choose one of these.")},
    )
    mechanism = forms.ChoiceField(
        label=_("Part of the camera"),
        choices=[("", _("any part")), *Mechanism.choices],
        required=False,
        error_messages={"invalid_choice": _("Choose one of these.")},
    )
    months = WholeField(label=_("Months"), most=120)
