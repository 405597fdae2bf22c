"""What goes with a quote when it is sent: the last day, a word, a deposit, how it goes back if they say no, and whether the work waits."""

from datetime import date, timedelta
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs import money
from jobs.actions.quote import Sending
from jobs.adding_up import Sheet, reckon
from jobs.models import Quote, Workshop
from jobs.words import LeftAs
from portal.bench.fields import DayField, MoneyField

ALL_BP = 10_000
FIRST_ONLY = ("deposit", "if_declined", "if_declined_note")  # what is agreed goes on: nothing of it goes back


class SendForm(forms.Form):
    """For a draft; `highest` is the most that it can come to, in minor units."""

    valid_until = DayField(label=gettext_lazy("Good until"))
    note = forms.CharField(
        label=gettext_lazy("A word to the customer"),
        max_length=1000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )
    deposit = MoneyField(
        label=gettext_lazy("Deposit"),
        help_text=gettext_lazy("Asked for when they agree, before the work begins. Empty for none."),
        required=False,
    )
    if_declined = forms.ChoiceField(
        label=gettext_lazy("If they say no to everything, it goes back"),
        choices=[("", gettext_lazy("Not said")), *LeftAs.choices],
        widget=forms.RadioSelect,
        required=False,
    )
    if_declined_note = forms.CharField(
        label=gettext_lazy("A word on that"),
        max_length=300,
        required=False,
        widget=forms.TextInput(attrs={"class": "reads"}),
    )
    work_waits = forms.BooleanField(label=gettext_lazy("The work waits for the answer"), required=False)

    def __init__(
        self, quote: Quote | None, highest: int, *args: Any, currency: str = "GBP", **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.highest, self.currency = highest, currency
        self.fields["deposit"].currency = currency
        for name in FIRST_ONLY if quote and quote.is_supplementary else ("work_waits",):
            del self.fields[name]

    def clean_deposit(self) -> int:
        asked: int = self.cleaned_data["deposit"]
        if asked > self.highest:
            raise forms.ValidationError(
                _("That is more than all of it comes to, %(sum)s.")
                % {"sum": money.show(self.highest, self.currency)}
            )
        return asked

    def sending(self) -> Sending:
        return Sending(**self.cleaned_data)

    @property
    def first(self) -> list[Any]:
        return [self[name] for name in ("valid_until", "note", "work_waits") if name in self.fields]

    @property
    def folded(self) -> list[Any]:
        return [self[name] for name in FIRST_ONLY if name in self.fields]

    @property
    def is_open(self) -> bool:
        """Whether the fold has something in it."""
        return any(field.errors or field.value() for field in self.folded)


def first_values(quote: Quote, house: Workshop, numbers: Sheet) -> dict[str, Any]:
    """As the workshop usually sends a quote, or as this one's forerunner was sent."""
    usual = _share(reckon(numbers, numbers.needed).total.gross, house.deposit_bp)
    return {
        "valid_until": usual_last_day(house),
        "note": quote.note,
        "deposit": quote.deposit or usual or None,
        "if_declined": quote.if_declined,
        "if_declined_note": quote.if_declined_note,
        "work_waits": quote.work_waits,
    }


def _share(minor: int, basis_points: int) -> int:
    """So many basis points of an amount, rounded half up to the minor unit."""
    return (minor * basis_points + ALL_BP // 2) // ALL_BP


def usual_last_day(house: Workshop) -> date:
    return timezone.localdate() + timedelta(days=house.quote_days)
