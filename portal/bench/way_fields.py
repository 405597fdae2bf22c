"""The fields of one way that a try may turn out, and of what may follow it: `w0_title`, `w0s0_price`, ..."""

from django import forms
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy

from jobs.words import LineKind
from portal.bench.fields import MoneyField, WholeField
from portal.bench.time_or_price import minutes_field

STEP = ("title", "price", "minutes", "months", "kind")
MOST_STEPS = 3  # things that may follow one outcome
MOST_SHARE = 1000


def step_name(way: int, step: int, what: str) -> str:
    return f"w{way}s{step}_{what}"


def add_fields(form: forms.Form, rows: int, currency: str) -> None:
    """Give `form` the fields of `rows` ways."""
    for way in range(rows):
        form.fields |= {f"w{way}_{what}": field for what, field in _way_fields().items()}
        for step in range(MOST_STEPS):
            fields = _step_fields(currency)
            form.fields |= {step_name(way, step, what): field for what, field in fields.items()}


def _title_field(label: Promise, longest: int) -> forms.CharField:
    """`longest`: characters."""
    return forms.CharField(
        label=label,
        max_length=longest,
        required=False,
        widget=forms.TextInput(attrs={"class": "reads", "autocomplete": "off"}),
    )


def _way_fields() -> dict[str, forms.Field]:
    return {
        "title": _title_field(gettext_lazy("How it turns out"), longest=240),
        "share": forms.IntegerField(
            label=gettext_lazy("Of twenty"),
            required=False,
            min_value=1,
            max_value=MOST_SHARE,
            widget=forms.NumberInput(attrs={"class": "short", "inputmode": "numeric"}),
            error_messages={
                "min_value": gettext_lazy(
                    "What never happens is no way out. Type at least 1, or empty the row."
                ),
                "max_value": gettext_lazy("Type a whole number up to twenty or so."),
                "invalid": gettext_lazy("Type a whole number."),
            },
        ),
        "stops": forms.BooleanField(label=gettext_lazy("We stop there"), required=False),
        "key": forms.CharField(max_length=140, required=False, widget=forms.HiddenInput),
        "weight": forms.IntegerField(
            min_value=1, max_value=2**31 - 1, required=False, widget=forms.HiddenInput
        ),
        "seen": forms.CharField(max_length=9, required=False, widget=forms.HiddenInput),
    }


def _step_fields(currency: str) -> dict[str, forms.Field]:
    return {
        "title": _title_field(gettext_lazy("Then this may follow"), longest=140),
        "price": MoneyField(label=gettext_lazy("Price"), currency=currency, required=False, empty_value=None),
        "minutes": minutes_field(),
        "kind": forms.ChoiceField(
            choices=[(LineKind.WORK, ""), (LineKind.PART, "")], required=False, widget=forms.HiddenInput
        ),
        "months": WholeField(
            label=gettext_lazy("Months"),
            required=False,
            most=120,
            widget=forms.NumberInput(attrs={"class": "short"}),
        ),
    }
