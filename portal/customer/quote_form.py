"""The form that answers a quote: yes or no to each line, a typed name, the terms."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from jobs.models import Line, Quote
from jobs.words import Need

YES, NO = "yes", "no"
CHOICES = [(YES, _("Yes, do it")), (NO, _("No, leave it"))]


class QuoteForm(forms.Form):
    """`lines` are the quote's lines with their findings.

    Only what is needed is chosen beforehand: nothing that costs more may be (Directive 2011/83/EU, Art. 22).
    """

    use_required_attribute = False

    name = forms.CharField(
        label=_("Your full name, typed by you"),
        max_length=120,
        widget=forms.TextInput(attrs={"autocomplete": "name", "class": "name"}),
        error_messages={"required": _("Type your full name. It stands for your signature.")},
    )
    terms = forms.BooleanField(
        label=_("I have read these terms and agree to them"),
        error_messages={"required": _("Read the terms and tick them first.")},
    )
    quote = forms.IntegerField(widget=forms.HiddenInput)
    shown_hash = forms.CharField(max_length=64, widget=forms.HiddenInput)

    def __init__(self, quote: Quote, lines: list[Line], *args: Any, **kwargs: Any) -> None:
        kwargs["initial"] = {"quote": quote.pk, "shown_hash": quote.shown_hash}
        super().__init__(*args, **kwargs)
        self.lines = [line for line in lines if not line.is_fixed]
        for line in self.lines:
            self.fields[key(line)] = _two_radios(line)
        self.order_fields([key(line) for line in self.lines])

    def yes(self) -> list[int]:
        """The lines said yes to so far, whether or not the rest of the form is right."""
        return [line.pk for line in self.lines if self[key(line)].value() == YES]

    def declines_all(self) -> bool:
        """Every line has an answer, and every answer is no."""
        return all(self[key(line)].value() == NO for line in self.lines)


def key(line: Line) -> str:
    return f"line-{line.pk}"


def _two_radios(line: Line) -> forms.ChoiceField:
    return forms.ChoiceField(
        label=line.title,
        choices=CHOICES,
        initial=YES if line.need == Need.NEEDED else NO,
        widget=forms.RadioSelect,
        error_messages={"required": _("Choose yes or no."), "invalid_choice": _("Choose yes or no.")},
    )
