"""The workshop's own forms: what it is, who works in it."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from jobs.models import Staff, Workshop
from jobs.words import TaxMode
from portal.office import choices
from portal.office.fields import PercentField

LONG = forms.Textarea(attrs={"rows": 3})


# In place of the framework's sentences; a field that has its own keeps it.
WRONG: dict[type[forms.Field], dict[str, Promise]] = {
    forms.CharField: {
        "max_length": _("Too long: it has %(show_value)d signs, and %(limit_value)d is the most.")
    },
    forms.EmailField: {
        "invalid": _("This does not look like an e-mail address. It needs an @ and a name behind it.")
    },
    forms.ChoiceField: {"invalid_choice": _("Choose one of these.")},
    forms.DateField: {"invalid": _("That is not a day. Type it as 2026-10-30.")},
}


class Plain(forms.Form):
    """No colon after labels; our sentences where something is missing or wrong."""

    missing: dict[str, Promise] = {}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, label_suffix="", **kwargs)
        for name, field in self.fields.items():
            field.error_messages["required"] = self.missing.get(name, _("This has to be filled in."))
            for kind, sentences in WRONG.items():
                if isinstance(field, kind):
                    _say_instead(field, kind, sentences)


def _say_instead(field: forms.Field, kind: type[forms.Field], sentences: dict[str, Promise]) -> None:
    usual = getattr(kind, "default_error_messages", {})
    for code, sentence in sentences.items():
        said = field.error_messages.get(code)
        if said is None or said == usual.get(code):
            field.error_messages[code] = sentence


class HouseForm(Plain):
    """What is asked before the first job: fields of Workshop."""

    missing = {
        "name": _("What is the workshop called?"),
        "place": _("Which town is it in?"),
        "address": _("Customers post their cameras to this address."),
    }

    name = forms.CharField(label=_("Name of the workshop"), max_length=80)
    place = forms.CharField(
        label=_("Place"), max_length=80, help_text=_("The town, as it stands at the foot of a page.")
    )
    address = forms.CharField(
        label=_("Postal address"),
        max_length=400,
        widget=LONG,
        help_text=_("Where parcels go. Without the name."),
    )
    telephone = forms.CharField(label=_("Telephone"), max_length=40, required=False)
    email = forms.EmailField(
        label=_("E-mail"),
        required=False,
        help_text=_("Answers to letters come here, and news for the workshop."),
    )
    hours = forms.CharField(
        label=_("Opening hours"),
        max_length=400,
        required=False,
        widget=LONG,
        help_text=_("In words: Tuesday to Saturday, 10 to 5."),
    )
    time_zone = forms.ChoiceField(label=_("Time zone"), choices=choices.time_zones)
    currency = forms.ChoiceField(label=_("Currency"), choices=choices.currencies)
    tax_mode = forms.ChoiceField(label=_("Tax"), choices=TaxMode.choices, widget=forms.RadioSelect)
    tax_name = forms.CharField(
        label=_("Name of the tax"), max_length=20, required=False, help_text=_("VAT, for example.")
    )
    tax_rate_bp = PercentField(label=_("Rate of the tax in per cent"), required=False)

    def clean(self) -> dict[str, Any]:
        told = super().clean() or {}
        if told.get("tax_mode") not in (None, TaxMode.NONE):
            if not told.get("tax_name"):
                self.add_error(
                    "tax_name", ValidationError(_("What is the tax called? It stands on each quote."))
                )
            if "tax_rate_bp" in told and not told["tax_rate_bp"]:
                self.add_error("tax_rate_bp", ValidationError(_("How many per cent is it?")))
        return told

    def house(self) -> dict[str, Any]:
        """Values for the fields of Workshop."""
        return {name: self.cleaned_data[name] for name in self.fields if hasattr(Workshop, name)}


class HireForm(Plain):
    missing = {
        "username": _("Which name will they log in with?"),
        "full_name": _("Customers read this name under answers."),
    }

    full_name = forms.CharField(label=_("Name"), max_length=150, help_text=_("As customers read it."))
    username = forms.SlugField(
        label=_("Name to log in with"),
        max_length=60,
        help_text=_("Short, without spaces."),
        widget=forms.TextInput(attrs={"autocapitalize": "off", "autocomplete": "off"}),
        error_messages={"invalid": _("Letters, figures and hyphens only.")},
    )
    email = forms.EmailField(label=_("E-mail"), required=False)
    role = forms.ChoiceField(
        label=_("Role"), choices=Staff.Role.choices, widget=forms.RadioSelect, initial=Staff.Role.TECHNICIAN
    )
