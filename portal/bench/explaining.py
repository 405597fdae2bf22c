"""Choosing an explanation from the library, and asking for this camera's facts."""

from dataclasses import dataclass
from typing import Any

from django import forms
from django.utils.text import get_text_list
from django.utils.translation import gettext as _

from jobs import collection, library
from jobs.library import BadFact, Explanation, MissingFact
from jobs.library.facts import check
from jobs.library.schema import ChoiceField, NumberField, TextField
from jobs.models import Job
from jobs.words import Mechanism, Trait

MOST_SUGGESTED = 3  # on opening, from the story
MOST_FOUND = 8  # while typing
AskedField = ChoiceField | NumberField | TextField


def entry_of(key: str) -> Explanation | None:
    """The entry of a key, or None for no key and for one that the library does not have."""
    return collection.entries().get(key)


@dataclass(frozen=True)
class Suggestion:
    """An explanation as the list shows it. `lacks`: in words, what it is about and this camera does not have, or ""."""

    key: str
    title: str
    short: str
    mechanism: str
    lacks: str


def suggestions(job: Job, typed: str = "") -> list[Suggestion]:
    """What to offer: what answers to the words typed, or else to the story; then, until something is typed, what fits the camera."""
    traits = job.item.traits
    if typed:
        found = library.find(typed, traits, collection.entries())[:MOST_FOUND]
    else:
        told = library.find(job.story, traits, collection.entries())
        found = (told + [entry for entry in fitting(job) if entry not in told])[:MOST_SUGGESTED]
    return [_suggestion(entry, traits) for entry in found]


def _suggestion(entry: Explanation, traits: list[str]) -> Suggestion:
    # A camera of which nothing is noted may have everything.
    missing = [Trait(one).label for one in sorted(entry.traits - set(traits))] if traits else []
    lacks = get_text_list(missing, _("and")) if missing else ""
    return Suggestion(entry.key, entry.title, entry.short, Mechanism(entry.mechanism).label, lacks)


def fitting(job: Job) -> list[Explanation]:
    """Entries whose traits the item has."""
    has = set(job.item.traits)
    return [entry for entry in library.match(has, collection.entries()) if entry.traits <= has]


def choices(job: Job) -> list[tuple[str, Any]]:
    """All entries for a select: those that fit this camera, then the others, each by title."""
    fit = fitting(job)
    rest = [entry for entry in collection.entries().values() if entry not in fit]
    groups = [(_("Fits this camera"), _titles(fit)), (_("Others"), _titles(rest))]
    return [("", _("None: in our own words")), *((words, titles) for words, titles in groups if titles)]


class FactsForm(forms.Form):
    """The facts that an entry asks for. With `strict` each is judged; without, whatever is typed is kept."""

    def __init__(self, entry: Explanation, data: Any = None, *, strict: bool = False, **kwargs: Any) -> None:
        super().__init__(data, prefix="fact", **kwargs)
        self.entry, self.strict = entry, strict
        for asked in entry.fields:
            self.fields[asked.key] = _form_field(asked)

    def take_focus(self) -> None:
        """The page puts the focus into the first of these fields."""
        for field in list(self.fields.values())[:1]:
            field.widget.attrs["data-autofocus"] = ""

    def clean(self) -> None:
        for asked in self.entry.fields if self.strict else []:
            try:
                check([asked], {asked.key: self.cleaned_data.get(asked.key, "")})
            except MissingFact:
                self.add_error(asked.key, _("The explanation needs this."))
            except BadFact as wrong:
                self.add_error(asked.key, str(wrong))

    def facts(self) -> dict[str, Any]:
        """What was given, as typed; the library reads and bounds it when the entry is filled."""
        return {key: value for key, value in self.cleaned_data.items() if value != ""}


def defaults(entry: Explanation) -> dict[str, Any]:
    """What an entry is usually about: the keys that it presses beforehand."""
    return {
        "certainty": entry.certainty,
        "bearing": entry.bearing,
        "effect": entry.effect,
        "mechanism": entry.mechanism,
        "explanation": entry.key,
    }


def _titles(entries: list[Explanation]) -> list[tuple[str, str]]:
    return [(entry.key, entry.title) for entry in entries]


def _form_field(asked: AskedField) -> forms.Field:
    if isinstance(asked, ChoiceField):
        options = [(option.value, option.text) for option in asked.options]
        blank = [] if asked.default else [("", _("Choose"))]
        return forms.ChoiceField(
            label=asked.label, choices=blank + options, required=False, initial=asked.default
        )
    initial = "" if asked.default is None else str(asked.default)
    if isinstance(asked, TextField):
        return forms.CharField(label=asked.label, max_length=asked.longest, required=False, initial=initial)
    span = _("%(low)s to %(high)s %(unit)s") % {"low": asked.low, "high": asked.high, "unit": asked.unit}
    mode = "numeric" if asked.places == 0 else "decimal"
    # Not type=number: a browser hands over nothing at all where it cannot read what was typed.
    widget = forms.TextInput(attrs={"inputmode": mode, "autocomplete": "off", "class": "short"})
    return forms.CharField(
        label=asked.label,
        max_length=20,
        required=False,
        initial=initial,
        help_text=span.strip(),
        widget=widget,
    )
