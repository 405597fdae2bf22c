"""Shutter times, before and after the work: typed in milliseconds beside the marks of the dial, judged in stops."""

import re
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Any

from django import forms
from django.db import transaction
from django.forms import BoundField
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from jobs import shutter
from jobs.actions.working import measure
from jobs.models import Job
from jobs.shutter import Reading
from jobs.words import Stage
from portal.access import for_staff
from portal.answers import carried_out, go, status
from portal.bench.common import show, with_job

LONGEST_US = 60_000_000
FRACTION = re.compile(r"1/(\d{1,5}(?:[.,]\d{1,2})?)")
AFTER = frozenset({Stage.IN_WORK, Stage.PROVING, Stage.READY})


@dataclass(frozen=True)
class Judged:
    """A reading as it is written: milliseconds and stops, with a true minus sign."""

    reading: Reading

    @property
    def milliseconds(self) -> str:
        return milliseconds(self.reading.measured_us)

    @property
    def stops(self) -> str:
        return f"{self.reading.stops:+.2f}".replace("-", "−")

    @property
    def within(self) -> bool:
        return self.reading.within


@dataclass(frozen=True)
class Dial:
    """One mark of the dial, with what was measured before and after the work. `tolerance` in stops."""

    mark: str
    target_us: int
    tolerance: float
    before: Judged | None
    after: Judged | None


def dials(job: Job) -> list[Dial]:
    """The marks that were measured, slowest first."""
    found: dict[str, dict[bool, Reading]] = {}
    for time in job.shutter_times.all():
        found.setdefault(time.mark, {})[time.after_work] = shutter.reading(time.mark, time.measured_us)
    return sorted((_dial(mark, pair) for mark, pair in found.items()), key=lambda dial: -dial.target_us)


def _dial(mark: str, pair: dict[bool, Reading]) -> Dial:
    any_one = next(iter(pair.values()))
    judged = {after: Judged(reading) for after, reading in pair.items()}
    return Dial(mark, any_one.target_us, any_one.tolerance, judged.get(False), judged.get(True))


def read_time(typed: str) -> int:
    """Microseconds of "16.2" or "16,2" (milliseconds) or "1/62" (of a second). Raises ValueError with a sentence."""
    bare = typed.strip().lower().removesuffix("ms").strip()
    try:
        if part := FRACTION.fullmatch(bare.removesuffix("s").strip()):
            exact = Decimal(1_000_000) / Decimal(part[1].replace(",", "."))
        else:
            exact = Decimal(bare.replace(",", ".")) * 1000
    except (InvalidOperation, ZeroDivisionError) as bad:
        raise ValueError(_("Type milliseconds, as 16.2, or a part of a second, as 1/62.")) from bad
    if not exact.is_finite() or not 1 <= exact <= LONGEST_US:
        raise ValueError(_("A time lies between 0.001 and 60000 milliseconds."))
    return int(exact.to_integral_value())


def read_mark(typed: str) -> str:
    """The mark as `jobs.shutter` knows it: "1/60" from "1/60", "60" or "1 / 60"; "1" from "1 s". Raises ValueError."""
    bare = typed.lower().replace(" ", "").removesuffix("s")
    known = {**shutter.TARGETS, **shutter.OLD_MARKS}
    for mark in (bare, f"1/{bare}"):
        if mark in known:
            return mark
    raise ValueError(_("That mark is on no dial that we know. Type it as it is engraved, as 1/60."))


class TimesForm(forms.Form):
    """One field for each mark of the usual dial and for old marks measured before, and a row for one more."""

    mark = forms.CharField(
        label=gettext_lazy("Another mark"),
        max_length=8,
        required=False,
        widget=forms.TextInput(attrs={"class": "short", "placeholder": "1/25"}),
    )
    measured = forms.CharField(
        label=gettext_lazy("What it took"),
        max_length=20,
        required=False,
        widget=forms.TextInput(attrs={"class": "short", "inputmode": "decimal", "autocomplete": "off"}),
    )

    def __init__(self, job: Job, after_work: bool, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        stored = {
            row.mark: row.measured_us for row in job.shutter_times.all() if row.after_work == after_work
        }
        old = {row.mark for row in job.shutter_times.all() if row.mark in shutter.OLD_MARKS}
        self.marks = [*shutter.TARGETS, *sorted(old, key=shutter.OLD_MARKS.__getitem__, reverse=True)]
        for n, mark in enumerate(self.marks):
            self.fields[f"t{n}"] = _time_field(mark, stored.get(mark))

    @property
    def rows(self) -> list[tuple[str, BoundField]]:
        return [(mark, self[f"t{n}"]) for n, mark in enumerate(self.marks)]

    def clean(self) -> None:
        self.times: dict[str, int] = {}
        for n, mark in enumerate(self.marks):
            self._take(mark, f"t{n}")
        typed, time = self.cleaned_data.get("mark", ""), self.cleaned_data.get("measured", "")
        if not typed and not time:
            return
        try:
            self._take(read_mark(typed), "measured", needed=True)
        except ValueError as wrong:
            self.add_error("mark", str(wrong))

    def _take(self, mark: str, name: str, needed: bool = False) -> None:
        typed = self.cleaned_data.get(name, "")
        if not typed and not needed:
            return
        try:
            self.times[mark] = read_time(typed)
        except ValueError as wrong:
            self.add_error(name, str(wrong))


@require_http_methods(["GET", "POST"])
@for_staff
@with_job
def times(request: HttpRequest, job: Job) -> HttpResponse:
    """`?when=before` or `after`: which of the two is written. Without it, what the stage suggests."""
    after_work = _is_after(request, job)
    form = TimesForm(job, after_work, request.POST if request.method == "POST" else None)
    if form.is_bound and carried_out(form, lambda: _note(job, form, after_work)):
        return go(request, request.get_full_path(), _("Noted."))
    return show(
        request, "bench/times.html", job, status(form), form=form, dials=dials(job), after_work=after_work
    )


def _note(job: Job, form: TimesForm, after_work: bool) -> None:
    with transaction.atomic():
        for mark, measured_us in form.times.items():
            measure(job, mark, measured_us, after_work)


def _is_after(request: HttpRequest, job: Job) -> bool:
    when = request.GET.get("when", "")
    return when == "after" if when in ("before", "after") else job.stage in AFTER


def _time_field(mark: str, stored_us: int | None) -> forms.Field:
    return forms.CharField(
        label=mark,
        max_length=20,
        required=False,
        initial=milliseconds(stored_us) if stored_us else "",
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off", "class": "short"}),
    )


def milliseconds(us: int) -> str:
    """15625 -> "15.625", 16200 -> "16.2", 1000000 -> "1000"."""
    whole, part = divmod(us, 1000)
    return f"{whole}.{part:03}".rstrip("0").rstrip(".")
