"""Fields that several of the bench's forms have: a day, an amount of money."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from jobs import money

MOST = 100_000_000  # minor units; a million pounds is a slip of the finger


class DayField(forms.DateField):
    """A day, chosen from the browser's calendar or typed."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("widget", forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))
        kwargs.setdefault("error_messages", {"invalid": _("That is not a day. Type it as 2026-10-30.")})
        super().__init__(input_formats=["%Y-%m-%d", "%d/%m/%Y", "%d.%m.%Y", "%d %B %Y", "%d %b %Y"], **kwargs)


class MoneyField(forms.CharField):
    """An amount as people type it, "85", "85.50" or "£1,250"; cleaned to minor units of `currency`."""

    def __init__(self, currency: str = "GBP", **kwargs: Any) -> None:
        self.currency = currency
        kwargs.setdefault(
            "widget", forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off", "class": "short"})
        )
        super().__init__(max_length=20, **kwargs)

    def clean(self, value: Any) -> Any:
        typed = super().clean(value)
        if not typed:
            return 0
        try:
            amount = money.read(typed, self.currency)
        except money.BadMoney as bad:
            raise forms.ValidationError(_("That is not an amount of money. Type it as 85 or 85.50.")) from bad
        if not 0 <= amount <= MOST:
            raise forms.ValidationError(_("That amount cannot be right."))
        return amount
