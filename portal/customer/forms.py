"""The forms that a customer fills in. They check input and say in words what is wrong; what happens then is the actions' business."""

from typing import Any
from uuid import UUID, uuid4

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from jobs.actions.booking import Booking, Looked
from jobs.words import FilmInside, Opened, ReturnBy
from portal.customer.kinds import KINDS, traits_of


def once_key() -> str:
    """A form's own key: the same form sent twice acts once."""
    return str(uuid4())


class OnceField(forms.UUIDField):
    widget = forms.HiddenInput

    def __init__(self, **options: Any) -> None:
        super().__init__(initial=once_key, **options)


class BookingForm(forms.Form):
    """Tell the story, book in. Photographs go to the basket (`portal.customer.basket`), never through this form."""

    use_required_attribute = False

    maker = forms.CharField(
        label=_lazy("Maker"),
        max_length=60,
        error_messages={"required": _lazy("Write the maker’s name. It is on the camera’s front or top.")},
    )
    model = forms.CharField(
        label=_lazy("Model"), max_length=80, required=False, help_text=_lazy("As far as you can read it.")
    )
    serial = forms.CharField(
        label=_lazy("Serial number"),
        max_length=40,
        required=False,
        help_text=_lazy("Often on the top, the base or around the lens."),
    )
    kind = forms.ChoiceField(
        label=_lazy("What kind is it?"),
        choices=KINDS,
        widget=forms.RadioSelect,
        error_messages={"required": _lazy("Choose the kind that is nearest. “I do not know” is fine.")},
    )
    story = forms.CharField(
        label=_lazy("What did you notice?"),
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 5}),
        help_text=_lazy(
            "In your own words: what it did, and what you did just before. If you have a question, ask it here."
        ),
        error_messages={"required": _lazy("Tell us what you noticed. A sentence is enough.")},
    )
    noticed_when = forms.CharField(
        label=_lazy("When did it begin?"),
        max_length=200,
        required=False,
        help_text=_lazy("For example: in August, half-way through a film."),
    )
    film_inside = forms.ChoiceField(
        label=_lazy("Is there film inside?"),
        choices=FilmInside.choices,
        widget=forms.RadioSelect,
        help_text=_lazy("Leave the back shut if you do not know. We look in the dark."),
        error_messages={"required": _lazy("Choose one. “I do not know” is fine.")},
    )
    opened_before = forms.ChoiceField(
        label=_lazy("Has anybody had it open?"),
        choices=Opened.choices,
        widget=forms.RadioSelect,
        help_text=_lazy("Repairs long ago count too. It helps us to know where to look."),
        error_messages={"required": _lazy("Choose one. “I do not know” is fine.")},
    )
    name = forms.CharField(
        label=_lazy("Your name"),
        max_length=120,
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
        error_messages={"required": _lazy("Write your name.")},
    )
    email = forms.EmailField(
        label=_lazy("E-mail"),
        max_length=254,
        widget=forms.EmailInput(attrs={"autocomplete": "email"}),
        help_text=_lazy("Your private link comes here. There is no password to remember."),
        error_messages={
            "required": _lazy("Write your e-mail address. Your private link is sent there."),
            "invalid": _lazy(
                "This does not look like an e-mail address. It needs an @ and a name behind it."
            ),
        },
    )
    telephone = forms.CharField(
        label=_lazy("Telephone"),
        max_length=40,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "tel", "inputmode": "tel"}),
        help_text=_lazy("Only for questions that a letter is too slow for."),
    )
    return_by = forms.ChoiceField(
        label=_lazy("How does it go home?"),
        choices=ReturnBy.choices,
        widget=forms.RadioSelect,
        error_messages={"required": _lazy("Choose how it goes home.")},
    )
    address = forms.CharField(
        label=_lazy("Postal address"),
        max_length=400,
        required=False,
        widget=forms.Textarea(attrs={"rows": 4, "autocomplete": "street-address"}),
        help_text=_lazy("Needed if it goes home by post."),
    )
    once = OnceField()

    def clean_telephone(self) -> str:
        telephone: str = self.cleaned_data["telephone"]
        if telephone and sum(letter.isdigit() for letter in telephone) < 5:
            raise forms.ValidationError(
                _("This does not look like a telephone number. Leave it empty if you like.")
            )
        return telephone

    def clean(self) -> dict[str, Any]:
        told = super().clean() or self.cleaned_data
        if (
            told.get("return_by") == ReturnBy.POST
            and not told.get("address")
            and "address" not in self.errors
        ):
            self.add_error("address", _("Write the address where we send it, or choose to collect it."))
        return told

    def booking(self, basket: UUID | None, language: str, looked_at: list[Looked]) -> Booking:
        told = dict(self.cleaned_data)
        told.pop("once")
        return Booking(
            **told | {"traits": traits_of(told.pop("kind"))},
            basket=basket,
            language=language,
            looked_at=looked_at,
        )


class QuestionForm(forms.Form):
    use_required_attribute = False

    text = forms.CharField(
        label=_lazy("Your question"),
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": _lazy("Write your question first.")},
    )
    about = forms.CharField(required=False, max_length=40, widget=forms.HiddenInput)
    once = OnceField()


class PostedForm(forms.Form):
    use_required_attribute = False

    sent_with = forms.CharField(
        label=_lazy("Who carries it?"),
        max_length=120,
        help_text=_lazy("The carrier, or the number to follow it by."),
        error_messages={"required": _lazy("Write who carries it, or the number to follow it by.")},
    )


class LeavingForm(forms.Form):
    use_required_attribute = False

    name = forms.CharField(
        label=_lazy("Your full name, typed by you"),
        max_length=120,
        widget=forms.TextInput(attrs={"autocomplete": "name", "class": "name"}),
        error_messages={"required": _lazy("Type your full name. It stands for your signature.")},
    )
    because = forms.CharField(
        label=_lazy("Why"),
        max_length=400,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )


class ClaimForm(forms.Form):
    use_required_attribute = False

    story = forms.CharField(
        label=_lazy("What do you notice?"),
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=_lazy("In your own words. If it is what we mended, say what it does again."),
        error_messages={"required": _lazy("Tell us what you notice.")},
    )
