"""Choosing an explanation from the library, and asking for this camera's facts."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _

from jobs import library
from jobs.library import BadFact, Explanation, MissingFact
from jobs.library.facts import check
from jobs.library.schema import ChoiceField, NumberField, TextField
from jobs.models import Job

MOST_SUGGESTED = 3
AskedField = ChoiceField | NumberField | TextField


def entry_of(key: str) -> Explanation | None:
    """The entry of a key, or None for no key and for one that the library does not have."""
    return library.entries().get(key)


def suggestions(job: Job, typed: str = "") -> list[Explanation]:
    """What to offer first: entries that share words with what is typed, or else with the story; then those that fit the camera."""
    traits = job.item.traits
    if typed:
        return library.find(typed, traits)[:MOST_SUGGESTED]
    told = library.find(job.story, traits)
    rest = [entry for entry in fitting(job) if entry not in told]
    return (told + rest)[:MOST_SUGGESTED]


def fitting(job: Job) -> list[Explanation]:
    """Entries whose traits the item has."""
    has = set(job.item.traits)
    return [entry for entry in library.match(has) if entry.traits <= has]


def choices(job: Job) -> list[tuple[str, Any]]:
    """All entries for a select: those that fit this camera, then the others, each by title."""
    fit = fitting(job)
    rest = [entry for entry in library.entries().values() if entry not in fit]
    groups = [(_("Fits this camera"), _titles(fit)), (_("Others"), _titles(rest))]
    return [("", _("None: in our own words")), *((words, titles) for words, titles in groups if titles)]


class FactsForm(forms.Form):
    """The facts that an entry asks for. With `strict` each is judged; without, whatever is typed is kept."""

    def __init__(self, entry: Explanation, data: Any = None, *, strict: bool = False, **kwargs: Any) -> None:
        super().__init__(data, prefix="fact", **kwargs)
        self.entry, self.strict = entry, strict
        for asked in entry.fields:
            self.fields[asked.key] = _form_field(asked)

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
