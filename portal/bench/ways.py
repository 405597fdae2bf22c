"""The try-first part of a line's form: how it may turn out, how often, and what may follow. Rows of fields, empty ones at the end."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django import forms
from django.utils.translation import gettext as _

from jobs.actions.quote import LineDraft, OutcomeDraft
from jobs.actions.quote_lines import MOST_OUTCOMES
from jobs.models import Line
from jobs.odds import Odd, of_twenty
from jobs.words import LineKind
from portal.bench.time_or_price import problem
from portal.bench.way_fields import MOST_STEPS, STEP, step_name

LEAST_ROWS = 2  # a try with one outcome is none


@dataclass(frozen=True)
class Step:
    """One thing that may follow, as bound fields."""

    title: Any
    price: Any
    minutes: Any
    months: Any
    kind: Any

    @property
    def is_empty(self) -> bool:
        return not any(field.value() for field in (self.title, self.price, self.minutes))


@dataclass(frozen=True)
class Way:
    """One way it may turn out, as bound fields; `steps` are those with something in them and one more."""

    number: int
    title: Any
    share: Any
    stops: Any
    hidden: list[Any]
    steps: list[Step]
    seen: int


def rows_in(told: Mapping[str, Any]) -> int:
    """How many ways a form that was sent, or its first values, has; two at least, six at most."""
    there = [way for way in range(MOST_OUTCOMES) if f"w{way}_title" in told]
    return max(LEAST_ROWS, *(way + 1 for way in there)) if there else LEAST_ROWS


def bound(form: forms.Form, rows: int) -> Iterator[Way]:
    """The ways for the page."""
    for way in range(rows):
        steps = [Step(*(form[step_name(way, step, what)] for what in STEP)) for step in range(MOST_STEPS)]
        shown = max((place + 1 for place, step in enumerate(steps) if not step.is_empty), default=0) + 1
        hidden = [form[f"w{way}_{what}"] for what in ("key", "weight", "seen")]
        seen = str(form[f"w{way}_seen"].value() or "")
        yield Way(
            way + 1,
            form[f"w{way}_title"],
            form[f"w{way}_share"],
            form[f"w{way}_stops"],
            hidden,
            steps[:shown],
            int(seen) if seen.isdecimal() else 0,
        )


def from_library(found: Sequence[Odd]) -> dict[str, Any]:
    """First values from an explanation's outcomes."""
    shares = of_twenty([each.weight for each in found])
    told: dict[str, Any] = {}
    for way, (odd, share) in enumerate(zip(found, shares, strict=True)):
        told |= _named(way, title=odd.text, share=share, key=odd.key, weight=odd.weight, seen=odd.seen)
    return told


def from_line(line: Line) -> dict[str, Any]:
    """First values from a line's outcomes."""
    outcomes = list(line.outcomes.prefetch_related("follow_ons"))
    if not outcomes:
        return {}
    shares = of_twenty([each.weight for each in outcomes])
    told: dict[str, Any] = {}
    for way, (outcome, share) in enumerate(zip(outcomes, shares, strict=True)):
        row = {"title": outcome.title, "share": share, "stops": outcome.stops}
        told |= _named(way, **row, key=outcome.key, weight=outcome.weight, seen=outcome.seen)
        for step, follow_on in enumerate(outcome.follow_ons.all()[:MOST_STEPS]):
            by_time = follow_on.minutes is not None
            told[step_name(way, step, "title")] = follow_on.title
            told[step_name(way, step, "kind")] = follow_on.kind
            told[step_name(way, step, "price")] = None if by_time else follow_on.price
            told[step_name(way, step, "minutes")] = follow_on.minutes
            told[step_name(way, step, "months")] = follow_on.months
    return told


def without(told: Mapping[str, Any]) -> dict[str, Any]:
    """What was typed, without any of the ways."""
    return {name: value for name, value in told.items() if not (name[0] == "w" and name[1:2].isdecimal())}


@dataclass(frozen=True)
class Base:
    """What follow-ons take over from their line. `per_hour` in minor units, None where nobody said."""

    line: Mapping[str, Any]
    per_hour: int | None
    months: int
    seen: Mapping[str, int]  # our own counts, by the keys of outcomes that the line may bear


def read(form: forms.Form, rows: int, base: Base) -> list[OutcomeDraft]:
    """The outcomes that were typed; whatever is wrong stands beside its field. Call from the form's `clean`."""
    said = form.cleaned_data
    found: list[OutcomeDraft] = []
    shares: list[int] = []
    weights: list[int] = []
    empty: list[int] = []
    for way in range(rows):
        follow_ons = list(_steps(form, way, base))
        title, share = said.get(f"w{way}_title", ""), said.get(f"w{way}_share")
        if not (title or share or follow_ons or said.get(f"w{way}_stops")):
            empty.append(way)
            continue
        _must_be_whole(form, way, follow_ons)
        key = said.get(f"w{way}_key", "")
        key = key if key in base.seen else ""
        shares.append(share or 1)
        weights.append(said.get(f"w{way}_weight") or 0)
        stops = bool(said.get(f"w{way}_stops"))
        found.append(OutcomeDraft(title, 1, key, base.seen.get(key, 0), stops, follow_ons))
    if len(found) == 1:
        place = empty[0] if empty else 0
        form.add_error(
            f"w{place}_title", _("A try needs at least two ways to turn out. Fill in the other one.")
        )
    return _weighed(found, shares, weights)


def _weighed(found: list[OutcomeDraft], shares: list[int], weights: list[int]) -> list[OutcomeDraft]:
    """Shares nobody touched keep the finer weights that they were made from."""
    if weights and all(weights) and of_twenty(weights) == shares:
        shares = weights
    return [
        OutcomeDraft(each.title, weight, each.key, each.seen, each.stops, each.follow_ons)
        for each, weight in zip(found, shares, strict=True)
    ]


def _must_be_whole(form: forms.Form, way: int, follow_ons: Sequence[LineDraft]) -> None:
    said = form.cleaned_data
    if not said.get(f"w{way}_title") and f"w{way}_title" not in form.errors:
        form.add_error(f"w{way}_title", _("Say how it turns out."))
    if said.get(f"w{way}_share") is None and f"w{way}_share" not in form.errors:
        form.add_error(f"w{way}_share", _("Of twenty, how many? Type at least 1."))
    if said.get(f"w{way}_stops") and follow_ons:
        form.add_error(f"w{way}_stops", _("Either we stop there, or something follows. Not both."))


def _steps(form: forms.Form, way: int, base: Base) -> Iterator[LineDraft]:
    said = form.cleaned_data
    for step in range(MOST_STEPS):
        name = {what: step_name(way, step, what) for what in STEP}
        title, price = said.get(name["title"], ""), said.get(name["price"])
        minutes, months = said.get(name["minutes"]), said.get(name["months"])
        wrong = [each for each in name.values() if each in form.errors]
        if not wrong and not title and price is None and minutes is None:
            continue
        if not title and name["title"] not in form.errors:
            form.add_error(name["title"], _("Say what follows."))
        if not wrong and (bad := problem(price, minutes, base.per_hour)):
            form.add_error(name[bad[0]], bad[1])
        yield LineDraft(
            **base.line,
            kind=said.get(name["kind"]) or LineKind.WORK.value,
            title=title,
            price=price or 0,
            minutes=minutes,
            per_hour=base.per_hour if minutes is not None else None,
            months=base.months if months is None else months,
        )


def _named(way: int, **row: Any) -> dict[str, Any]:
    return {f"w{way}_{what}": value for what, value in row.items()}
