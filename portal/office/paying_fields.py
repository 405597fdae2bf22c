"""Form fields for how customers pay: an account, and the address of a payment link."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.validators import URLValidator
from django.utils.translation import gettext_lazy as _

from jobs.paying import BadBic, BadIban, show_iban, tidy_bic, tidy_iban
from jobs.ways_to_pay import filled

SAMPLE = ("RF224TM7QCV", 9700, "GBP")


class IbanField(forms.CharField):
    """As people copy it, with or without spaces; cleaned to its bare form."""

    def clean(self, value: Any) -> str:
        typed = super().clean(value)
        if not typed:
            return ""
        try:
            return tidy_iban(typed)
        except BadIban:
            raise ValidationError(
                _("That is no IBAN. Copy it from your bank: two letters, two check digits, then the account.")
            ) from None

    def prepare_value(self, value: Any) -> Any:
        """In groups of four; what was typed wrongly comes back as it was."""
        try:
            return show_iban(tidy_iban(value)) if value else value
        except BadIban:
            return value


class BicField(forms.CharField):
    def clean(self, value: Any) -> str:
        typed = super().clean(value)
        if not typed:
            return ""
        try:
            return tidy_bic(typed)
        except BadBic:
            raise ValidationError(
                _("That is no BIC. It has eight or eleven signs: SLTMBEBBXXX, for example.")
            ) from None


class HolderField(forms.CharField):
    """One line of signs that everybody can see, as banks want it."""

    def clean(self, value: Any) -> str:
        line = " ".join(str(super().clean(value)).split())
        if not line.isprintable():
            raise ValidationError(_("There is a sign in it that nobody can see. Type it anew."))
        return line


class PayLinkField(forms.CharField):
    """An https address in which {reference} and {amount} may stand."""

    def clean(self, value: Any) -> str:
        typed: str = super().clean(value)
        if not typed:
            return ""
        address = filled(typed, *SAMPLE)
        if not address:
            raise ValidationError(
                _("Only an address that begins with https:// is safe to send customers to.")
            )
        if "{" in address or "}" in address:
            raise ValidationError(_("Only {reference} and {amount} can be filled in."))
        try:
            URLValidator(schemes=["https"])(address)
        except ValidationError:
            raise ValidationError(_("That is no address. It looks like https://pay.example.org/…")) from None
        return typed
