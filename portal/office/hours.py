"""When letters go that can wait, which days the workshop works, and what becomes of what nobody collects."""

from typing import Any

from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from jobs.actions.house import change_house
from jobs.models import Workshop
from jobs.places import country_of
from notifications import hours, own_words
from portal.access import for_owner
from portal.answers import carried_out, see_other, status
from portal.office import holiday_places
from portal.office.days_field import ClosedDaysField
from portal.office.fields import WholeField
from portal.office.forms import Plain
from portal.office.views import the_house

WEEKDAYS = (
    (0, gettext_lazy("Monday")),
    (1, gettext_lazy("Tuesday")),
    (2, gettext_lazy("Wednesday")),
    (3, gettext_lazy("Thursday")),
    (4, gettext_lazy("Friday")),
    (5, gettext_lazy("Saturday")),
    (6, gettext_lazy("Sunday")),
)
A_TIME = gettext_lazy("Write a time of day: 20:00.")


def _time_field(**more: Any) -> forms.TimeField:
    """Typed, not picked: a browser's own field would speak of a.m. and p.m. to some and not to others."""
    look = forms.TimeInput(format="%H:%M", attrs={"class": "short", "autocomplete": "off"})
    forms_of_it = ["%H:%M", "%H.%M", "%H"]
    return forms.TimeField(widget=look, input_formats=forms_of_it, error_messages={"invalid": A_TIME}, **more)


class HoursForm(Plain):
    """Fields of Workshop."""

    digest_minutes = WholeField(
        label=gettext_lazy("Minutes that news waits for company"),
        most=240,
        help_text=gettext_lazy("What happens to one job meanwhile becomes one letter. 0: nothing waits."),
    )
    quiet_from = _time_field(label=gettext_lazy("Quiet from"))
    quiet_until = _time_field(
        label=gettext_lazy("Quiet until"),
        help_text=gettext_lazy("The customer’s own time, where we know it. Twice the same: no quiet hours."),
    )
    work_days = forms.TypedMultipleChoiceField(
        label=gettext_lazy("Working days"),
        choices=WEEKDAYS,
        coerce=int,
        widget=forms.CheckboxSelectMultiple,
        error_messages={"invalid_choice": gettext_lazy("Press one or more of these.")},
        help_text=gettext_lazy("News waits for one of them, and reminders count them."),
    )
    holidays_in = forms.CharField(
        label=gettext_lazy("Public holidays"),
        required=False,
        widget=forms.Select,
        help_text=gettext_lazy("A region of another country can be chosen once the country is kept."),
    )
    closed_days = ClosedDaysField(
        label=gettext_lazy("Days on which the workshop is closed"),
        help_text=gettext_lazy("A line each: 24 December 2026, or 24 December 2026 to 2 January 2027."),
    )
    storage_days = WholeField(
        label=gettext_lazy("Days that a finished item is kept for nothing"),
        least=1,
        most=3650,
        help_text=gettext_lazy(
            "With the day after that your words below begin to count; it stands with what is owed. Nothing is charged or done by itself."
        ),
    )
    storage_words = forms.CharField(
        label=gettext_lazy("What happens after that, in your words"),
        max_length=600,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=gettext_lazy(
            "Customers read it in the last reminder to collect. What the law of your place says goes before it. Empty: nothing is said."
        ),
    )

    missing = {"work_days": gettext_lazy("Without a working day nothing that waits would ever go.")}

    def __init__(self, *args: Any, near: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["holidays_in"].widget.choices = holiday_places.choices(near)

    def clean_holidays_in(self) -> str:
        place: str = self.cleaned_data["holidays_in"]
        if not holiday_places.is_known(place):
            raise ValidationError(_("Choose one of these."))
        return place

    def clean_storage_words(self) -> str:
        words: str = self.cleaned_data["storage_words"]
        if own_words.holds_an_address(words):
            raise ValidationError(
                _("Letters lead to the customer’s own page and nowhere else. Leave web addresses out.")
            )
        return words


@require_http_methods(["GET", "HEAD", "POST"])
@for_owner
def office_hours(request: HttpRequest) -> HttpResponse:
    house = the_house()
    if request.method != "POST":
        return _page(request, house, HoursForm(initial=vars(house), near=_near(house)))
    form = HoursForm(request.POST, near=_near(house))
    if not carried_out(form, lambda: change_house(house, form.cleaned_data)):
        return _page(request, the_house(), form)
    messages.success(request, _("Kept. Letters that are written from now on go by these hours."))
    return see_other(request, reverse("office_hours"))


def _near(house: Workshop) -> str:
    """The country whose regions are offered."""
    return country_of(house)


def _page(request: HttpRequest, house: Workshop, form: HoursForm) -> HttpResponse:
    now = timezone.now()
    told = {
        "here": "office",
        "tab": "settings",
        "form": form,
        "house": house,
        "place": holiday_places.place_name(house.holidays_in),
        "now": now,
        "goes": hours.with_company(None, now),
    }
    return render(request, "office/hours.html", told, status=status(form))
