"""A photograph as a part of a form: its place in the strip, its marks and its caption."""

from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django import forms
from django.forms import BoundField
from django.utils.translation import gettext_lazy

from jobs.actions.photo import MAX_MARKS, Ring
from jobs.models import Photo
from portal.drawing.pictures import Picture
from portal.pictures import picture

NUMBERS = range(1, MAX_MARKS + 1)


class ShotForm(forms.Form):
    """Marks 1 to 4, each across and down in per mille, and a caption. `leave_out` takes the photograph off the finding."""

    caption = forms.CharField(
        label=gettext_lazy("Caption"),
        max_length=200,
        required=False,
        widget=forms.TextInput(attrs={"placeholder": gettext_lazy("Under the top cover")}),
    )
    leave_out = forms.BooleanField(label=gettext_lazy("Leave this photograph out"), required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for n in NUMBERS:
            self.fields[f"x{n}"] = _number(n, "x", gettext_lazy("Mark %(n)s, across"))
            self.fields[f"y{n}"] = _number(n, "y", gettext_lazy("Mark %(n)s, down"))

    def clean(self) -> None:
        for n in NUMBERS:
            here = [self.cleaned_data.get(f"{axis}{n}") is None for axis in "xy"]
            if any(here) and not all(here) and not self.errors:
                self.add_error(f"y{n}" if here[1] else f"x{n}", gettext_lazy("A mark needs both numbers."))

    @property
    def mark_fields(self) -> list[tuple[int, BoundField, BoundField]]:
        return [(n, self[f"x{n}"], self[f"y{n}"]) for n in NUMBERS]

    def rings(self) -> list[Ring]:
        """The marks that are set, numbered without gaps."""
        said = self.cleaned_data
        spots = [(said[f"x{n}"], said[f"y{n}"]) for n in NUMBERS if said[f"x{n}"] is not None]
        return [Ring(n, x, y) for n, (x, y) in enumerate(spots, start=1)]


@dataclass(frozen=True)
class Shot:
    photo: Photo
    form: ShotForm

    @property
    def is_ready(self) -> bool:
        return self.photo.state == Photo.State.READY

    @property
    def waits(self) -> bool:
        return self.photo.state == Photo.State.PROCESSING

    @property
    def key(self) -> str:
        return self.photo.uid.hex

    @cached_property
    def picture(self) -> Picture:
        return picture(self.photo)

    @property
    def placed(self) -> list[tuple[float, float]]:
        """Where the stored rings lie on a drawing 1200 wide, for who looks without a script."""
        high = self.picture.drawn_height
        return [(mark.x * 1.2, mark.y * high / 1000) for mark in self.photo.marks.all()]

    def rings(self) -> list[Ring]:
        """As typed, once that `is_valid`; else as stored."""
        if self.form.is_bound:
            return self.form.rings()
        return [Ring(mark.n, mark.x, mark.y, mark.r) for mark in self.photo.marks.all()]

    @property
    def caption(self) -> str:
        return self.form.cleaned_data["caption"] if self.form.is_bound else self.photo.caption

    @property
    def is_left_out(self) -> bool:
        return self.form.is_bound and self.form.cleaned_data["leave_out"]

    def as_typed(self, certainty: str) -> Picture:
        """The photograph as the customer will see it."""
        self.photo.caption = self.caption
        return picture(self.photo, certainty=certainty, marked=self.rings())


def shot(photo: Photo, data: Any = None) -> Shot:
    """A photograph with its fields: from `data` as typed, else as stored."""
    initial: dict[str, Any] = {"caption": photo.caption}
    for mark in photo.marks.all():
        initial |= {f"x{mark.n}": mark.x, f"y{mark.n}": mark.y}
    # The fields come back only for photographs that were on the form and could be seen.
    bound = data if data is not None and f"{photo.uid.hex}-caption" in data else None
    return Shot(photo, ShotForm(bound, initial=initial, prefix=photo.uid.hex))


def _number(n: int, axis: str, label: Any) -> forms.IntegerField:
    attrs = {"data-mark": n, "data-axis": axis, "inputmode": "numeric"}
    field = forms.IntegerField(label=label, min_value=0, max_value=1000, required=False)
    field.widget = forms.NumberInput(attrs=attrs | {"min": 0, "max": 1000})
    field.label = str(label) % {"n": n}
    return field
