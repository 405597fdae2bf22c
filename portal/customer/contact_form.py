"""How a customer wants to be reached: the form."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from jobs import places, telephones
from jobs.models import Customer, Workshop
from jobs.words import ReturnBy
from notifications.channels.text import countries
from notifications.models import TextGateway
from portal.customer.forms import BookingForm
from portal.office.choices import time_zones
from portal.office.holiday_places import countries as with_holidays
from portal.office.holiday_places import country_name, place_name

CHOOSE = {"invalid_choice": _lazy("Choose one of these.")}
# Fields of Customer that stand in the form as they are.
KNOWN = ("telephone", "address", "wants_progress", "wants_texts", "time_zone", "holidays_in")


class ContactForm(forms.Form):
    use_required_attribute = False

    telephone = forms.CharField(
        label=_lazy("Telephone"),
        max_length=40,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "tel", "inputmode": "tel"}),
        help_text=_lazy("We ring only when a letter would be too slow."),
    )
    address = forms.CharField(
        label=_lazy("Postal address"),
        max_length=400,
        required=False,
        widget=forms.Textarea(attrs={"rows": 4, "autocomplete": "street-address"}),
        help_text=_lazy("Where it goes when it goes home by post."),
    )
    wants_progress = forms.BooleanField(
        label=_lazy("Also write when there is news: it is here, what we found, when you can expect it"),
        required=False,
    )
    wants_texts = forms.BooleanField(
        label=_lazy("Send me a text message when something needs my answer"), required=False
    )
    text_to = forms.CharField(
        label=_lazy("Number for text messages"),
        max_length=40,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "tel", "inputmode": "tel"}),
    )
    time_zone = forms.ChoiceField(label=_lazy("Time zone"), required=False, error_messages=CHOOSE)
    holidays_in = forms.ChoiceField(label=_lazy("Public holidays of"), required=False, error_messages=CHOOSE)

    clean_telephone = BookingForm.clean_telephone

    def __init__(self, *args: Any, person: Customer, **kwargs: Any) -> None:
        """`person`: whose choices they are; what they chose before stays open to them."""
        super().__init__(*args, initial=_known(person), **kwargs)
        self.person = person
        self.house, self.gateway = Workshop.objects.current(), TextGateway.objects.current()
        self.fields["time_zone"].choices = _with(  # type: ignore[attr-defined]
            person.time_zone, [("", _("The same as the workshop")), *time_zones()]
        )
        self.fields["holidays_in"].choices = _with(  # type: ignore[attr-defined]
            person.holidays_in, [("", _("The same as the workshop")), *with_holidays()]
        )
        if self.gateway is None:
            del self.fields["wants_texts"], self.fields["text_to"]

    def clean_address(self) -> str:
        address: str = self.cleaned_data["address"]
        if (
            self.person.address
            and not address
            and self.person.jobs.on_the_bench().filter(return_by=ReturnBy.POST).exists()
        ):
            raise forms.ValidationError(
                _("Write the address where we send it. If you would rather collect it, tell us.")
            )
        return address

    def clean_text_to(self) -> str:
        typed: str = self.cleaned_data["text_to"]
        if not typed:
            return ""
        try:
            number = telephones.for_texts(typed, places.country_of(self.house))
        except telephones.NoTexts:
            raise forms.ValidationError(
                _("That number takes no text messages. Write the number of a mobile telephone.")
            ) from None
        except telephones.NoNumber:
            raise forms.ValidationError(
                _(
                    "This does not look like a telephone number. From another country, begin with + and its code."
                )
            ) from None
        self._check_country(number)
        return number

    def clean(self) -> dict[str, Any]:
        told = super().clean() or self.cleaned_data
        if told.get("wants_texts") and not told.get("text_to") and "text_to" not in self.errors:
            self.add_error("text_to", _("Write the number that takes text messages."))
        return told

    def _check_country(self, number: str) -> None:
        assert self.gateway
        allowed = countries(self.gateway)
        if allowed and telephones.country_of(number) not in allowed:
            names = ", ".join(country_name(each) for each in allowed)
            raise forms.ValidationError(
                _("We can send text messages to these countries: %(names)s.") % {"names": names}
            )


def _known(person: Customer) -> dict[str, Any]:
    told = {name: getattr(person, name) for name in KNOWN}
    return told | {"text_to": telephones.shown(person.text_to) if person.text_to else ""}


def _with(chosen: str, choices: list[tuple[str, Any]]) -> list[tuple[str, Any]]:
    """The choices, and what was chosen before where they lack it (the workshop may have noted a region)."""
    return choices if chosen in dict(choices) else [*choices, (chosen, place_name(chosen) or chosen)]
