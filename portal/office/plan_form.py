"""The form for one plan of reminders: a row for each step, and an empty one for one more. A row without a number of days is none."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.forms.boundfield import BoundField
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.actions.chase_plans import LONGEST_WAIT, MOST_STEPS, Step
from jobs.words import Tone, Way
from portal.office.fields import WholeField
from portal.office.forms import Plain

CHOOSE = {"invalid_choice": gettext_lazy("Choose one of these.")}


@dataclass(frozen=True)
class Row:
    """The fields of one step; `is_new` is the empty one at the end."""

    n: int
    wait: BoundField
    way: BoundField
    tone: BoundField
    is_new: bool


class PlanForm(Plain):
    """Numbered fields wait_1, way_1, tone_1 and so on. `about` (a value of `Owes`) is its prefix, because four stand on one page."""

    def __init__(self, about: str, *args: Any, steps: Sequence[Step] = (), **kwargs: Any) -> None:
        super().__init__(*args, prefix=about, initial=_typed(steps), **kwargs)
        self.about, self.kept = about, len(steps)
        for n in range(1, MOST_STEPS + 1):
            self.fields |= _fields(n)

    @property
    def rows(self) -> list[Row]:
        """Those that have something in them, and one more where there is room."""
        shown = min(self._filled() + 1, MOST_STEPS)
        return [self._row(n, is_new=n > self._filled()) for n in range(1, shown + 1)]

    def steps(self, without: int = 0) -> list[Step]:
        """What was typed, in order, and without the row of that number."""
        told = self.cleaned_data
        filled = [n for n in range(1, MOST_STEPS + 1) if told.get(f"wait_{n}") and n != without]
        return [
            Step(told[f"wait_{n}"], told[f"tone_{n}"] or Tone.KIND, told[f"way_{n}"] or Way.EMAIL)
            for n in filled
        ]

    def clean(self) -> dict[str, Any]:
        told = super().clean() or {}
        filled = [n for n in range(1, MOST_STEPS + 1) if told.get(f"wait_{n}")]
        for n in filled[:-1]:
            if told.get(f"tone_{n}") == Tone.LAST:
                words = _("Only the last step can say that it is the last.")
                self.add_error(f"tone_{n}", ValidationError(words))
        return told

    def _filled(self) -> int:
        """The number of the last row that has something in it."""
        if not self.is_bound:
            return self.kept
        typed = [
            n for n in range(1, MOST_STEPS + 1) if str(self.data.get(f"{self.prefix}-wait_{n}", "")).strip()
        ]
        return max(typed, default=0)

    def _row(self, n: int, is_new: bool) -> Row:
        return Row(n, self[f"wait_{n}"], self[f"way_{n}"], self[f"tone_{n}"], is_new)


def _fields(n: int) -> dict[str, forms.Field]:
    return {
        f"wait_{n}": WholeField(
            label=gettext_lazy("Working days"), least=1, most=LONGEST_WAIT, required=False
        ),
        f"way_{n}": forms.ChoiceField(
            label=gettext_lazy("By"),
            choices=Way.choices,
            initial=Way.EMAIL,
            required=False,
            error_messages=CHOOSE,
        ),
        f"tone_{n}": forms.ChoiceField(
            label=gettext_lazy("Tone"),
            choices=Tone.choices,
            initial=Tone.KIND,
            required=False,
            error_messages=CHOOSE,
        ),
    }


def _typed(steps: Sequence[Step]) -> dict[str, object]:
    told: dict[str, object] = {}
    for n, step in enumerate(steps, start=1):
        told |= {f"wait_{n}": step.wait, f"way_{n}": step.way, f"tone_{n}": step.tone}
    return told
