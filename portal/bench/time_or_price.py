"""A line costs a fixed price, or so many minutes at the price of an hour. Which of the two is told by what is filled in."""

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.quoting import for_time
from portal.money_field import MOST

MOST_MINUTES = 6000  # a hundred hours


def minutes_field() -> forms.IntegerField:
    return forms.IntegerField(
        label=gettext_lazy("or minutes"),
        required=False,
        min_value=1,
        max_value=MOST_MINUTES,
        widget=forms.NumberInput(attrs={"class": "short", "inputmode": "numeric"}),
        error_messages={
            "invalid": gettext_lazy("Type whole minutes."),
            "min_value": gettext_lazy("Type at least one minute."),
            "max_value": gettext_lazy("That is more than a hundred hours. Look again."),
        },
    )


def problem(price: int | None, minutes: int | None, per_hour: int | None) -> tuple[str, str] | None:
    """The field and the sentence, where both are filled in, or neither, or a time without the price of an hour. Minor units."""
    if price is not None and minutes is not None:
        return "price", _("A price and a time are both filled in. Leave one of them empty.")
    if price is None and minutes is None:
        return "price", _("Fill in a price, or how long it takes.")
    if minutes is not None and not per_hour:
        return "minutes", _("Say what an hour costs as well.")
    if minutes is not None and for_time(minutes, per_hour or 0) > MOST:
        return "minutes", _("That is more than any repair costs. Look again.")
    return None
