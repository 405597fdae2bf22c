"""Fields that several of the staff's forms have: a day, a whole number, and the portal's one field for money."""

from typing import Any

from django import forms
from django.utils.text import format_lazy
from django.utils.translation import gettext_lazy as _

from portal.money_field import MoneyField

__all__ = ["DayField", "MoneyField", "WholeField"]


class DayField(forms.DateField):
    """A day, chosen from the browser's calendar or typed."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("widget", forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))
        said = {
            "invalid": _("That is not a day. Type it as 2026-10-30."),
            "required": _("Choose a day, or type it as 2026-10-30."),
        }
        kwargs["error_messages"] = said | kwargs.get("error_messages", {})
        super().__init__(input_formats=["%Y-%m-%d", "%d/%m/%Y", "%d.%m.%Y", "%d %B %Y", "%d %b %Y"], **kwargs)


class WholeField(forms.IntegerField):
    """A whole number between two limits, with one sentence for whatever else is typed."""

    def __init__(self, *, least: int = 0, most: int, **kwargs: Any) -> None:
        words = format_lazy(
            _("Type a whole number from {least} to {most}."), least=str(least), most=f"{most:,}"
        )
        said = dict.fromkeys(("invalid", "min_value", "max_value"), words)
        kwargs["error_messages"] = said | kwargs.get("error_messages", {})
        super().__init__(min_value=least, max_value=most, **kwargs)
