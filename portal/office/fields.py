"""Form fields that read what people type: percentages, money, whole numbers."""

from decimal import Decimal, InvalidOperation
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from portal.bench.fields import WholeField
from portal.money_field import MoneyField

__all__ = ["MoneyField", "PercentField", "WholeField"]


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
