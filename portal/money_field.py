"""The one field for money: what people type becomes minor units of the workshop's currency, and what it says fits that currency.

Amounts are read and written as the language of the page has them: 1,250.50 in English is 1.250,50 in German.
"""

import unicodedata
from typing import Any

from babel.numbers import get_currency_symbol, get_decimal_symbol
from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import get_language, to_locale
from django.utils.translation import gettext as _

from jobs import money

MOST = 100_000_000  # minor units; a million pounds is a slip of the finger
LONGEST = 40  # characters; nobody's amount is longer


class MoneyField(forms.CharField):
    """An amount as people type it, "85", "85.50" or "£1,250"; cleaned to minor units of `currency`, from 0 to `most`.

    `currency` may be set on a form's own field, once the workshop is known. Empty is `empty_value`: 0, or None where nothing and
    nought are two things.
    """

    def __init__(
        self, *, currency: str = "GBP", most: int = MOST, empty_value: int | None = 0, **kwargs: Any
    ) -> None:
        kwargs.setdefault("widget", forms.TextInput(attrs={"autocomplete": "off", "class": "short"}))
        super().__init__(**kwargs)
        self.most = most
        self.when_empty = empty_value  # CharField's own must stay a text: 0 would count as filled in
        self.currency = currency

    @property
    def currency(self) -> str:
        return self._currency

    @currency.setter
    def currency(self, code: str) -> None:
        self._currency = code
        self.widget.attrs["inputmode"] = "decimal" if money.places(code) else "numeric"

    def clean(self, value: Any) -> Any:
        typed = super().clean(value)
        if not typed:
            return self.when_empty
        minor = self._read(typed.replace("\N{MINUS SIGN}", "-"))
        if minor < 0:
            raise ValidationError(_("An amount cannot be less than nothing."))
        if minor > self.most:
            raise ValidationError(_("That is more than any repair costs. Look again."))
        return minor

    def prepare_value(self, value: Any) -> Any:
        """Minor units as they would be typed, 8550 -> "85.50"; what was typed comes back as it was."""
        return pointed(f"{money.to_decimal(value, self.currency):f}") if isinstance(value, int) else value

    def _read(self, typed: str) -> int:
        try:
            if len(typed) <= LONGEST:
                return money.read(typed, self.currency, locale())
        except money.TooFine:
            raise ValidationError(f"{self._no_finer()} {self._as_typed()}") from None
        except money.BadMoney:
            if names_another_currency(typed, self.currency):
                wrong = _("Amounts are in %(currency)s here.") % {"currency": self.currency}
                raise ValidationError(f"{wrong} {self._as_typed()}") from None
        wrong = _("That is not an amount of money.")
        raise ValidationError(f"{wrong} {self._as_typed()}")

    def _no_finer(self) -> str:
        named = {"currency": self.currency, "places": money.places(self.currency)}
        if not named["places"]:
            return _("Amounts in %(currency)s are whole numbers.") % named
        return _("Amounts in %(currency)s have at most %(places)s places after the point.") % named

    def _as_typed(self) -> str:
        """How an amount is typed in this currency: 850 where there is no small change, else 85 or 85.50."""
        places = money.places(self.currency)
        if not places:
            return _("Type it as %(whole)s.") % {"whole": "850"}
        return _("Type it as %(whole)s or %(broken)s.") % {
            "whole": "85",
            "broken": pointed(f"85.5{'0' * (places - 1)}"),
        }


def locale() -> str:
    """That of the page's language, as CLDR names it."""
    return to_locale(get_language() or "en-gb")


def pointed(figure: str) -> str:
    """ "85.50" with the sign that the page's language puts before small change."""
    return figure.replace(".", get_decimal_symbol(locale()))


def names_another_currency(typed: str, currency: str) -> bool:
    """Whether a figure was typed with a sign or a code of money that is not this currency's: "€85", "85 eur", "US$85"."""
    if not any(char.isdigit() for char in typed):
        return False
    own = get_currency_symbol(currency, locale=locale())
    rest = typed.upper().replace(own, " ").replace(currency, " ")
    words = "".join(char if char.isalpha() else " " for char in rest).split()
    signs = {char for char in rest if unicodedata.category(char) == "Sc"}
    # A sign of our own after other letters is another's: US$ where A$ is ours
    return bool(signs - set(own)) or bool(signs and words) or not money.currencies().isdisjoint(words)
