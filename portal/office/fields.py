"""Form fields that read what people type: percentages, money, days."""

from decimal import Decimal, InvalidOperation
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from portal.bench.fields import WholeField
from portal.money_field import MoneyField

__all__ = ["DaysField", "MoneyField", "PercentField", "WholeField"]


class PercentField(forms.CharField):
    """ "20", "20.5 %" or "20,5" as basis points: 2000, 2050. Empty is 0."""

    widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off", "class": "short"})

    def clean(self, value: Any) -> int:
        text = super().clean(value).replace("%", "").replace(",", ".").strip()
        try:
            if any(char.isalpha() for char in text):
                raise InvalidOperation  # "1e1" is a number to Decimal, not to people
            points = Decimal(text or "0") * 100
        except InvalidOperation:
            raise ValidationError(_("Write the rate as a number: 20, or 7.5.")) from None
        if not points.is_finite() or points != points.to_integral_value():
            raise ValidationError(_("At most two places after the point."))
        if not 0 <= points <= 10_000:
            raise ValidationError(_("A rate lies between 0 and 100."))
        return int(points)

    def prepare_value(self, value: Any) -> Any:
        """Basis points as people write them; what was typed comes back as it was."""
        return f"{Decimal(value) / 100:f}".removesuffix(".00") if isinstance(value, int) else value


class DaysField(forms.CharField):
    """ "3, 7, 14": rising whole days, as a list."""

    def clean(self, value: Any) -> list[int]:
        text = super().clean(value)
        parts = [part.strip() for part in text.replace(";", ",").split(",") if part.strip()]
        if not all(part.isascii() and part.isdigit() for part in parts):
            raise ValidationError(_("Write whole days with commas between them: 3, 7, 14."))
        days = [int(part) for part in parts]
        if days != sorted(set(days)) or (days and not 1 <= days[0] <= days[-1] <= 120):
            raise ValidationError(_("Each day comes after the one before, from 1 to 120."))
        if len(days) > 5:
            raise ValidationError(_("Five reminders are the most that anybody should get."))
        return days

    def prepare_value(self, value: Any) -> Any:
        return ", ".join(map(str, value)) if isinstance(value, list) else value
