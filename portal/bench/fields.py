"""Fields that several of the bench's forms have: a day, and the portal's one field for money."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from portal.money_field import MoneyField

__all__ = ["DayField", "MoneyField"]


class DayField(forms.DateField):
    """A day, chosen from the browser's calendar or typed."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("widget", forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))
        kwargs.setdefault("error_messages", {"invalid": _("That is not a day. Type it as 2026-10-30.")})
        super().__init__(input_formats=["%Y-%m-%d", "%d/%m/%Y", "%d.%m.%Y", "%d %B %Y", "%d %b %Y"], **kwargs)
