"""The sheet on which a finding is written: its fields, its facts, its photographs, and what they come to."""

from dataclasses import dataclass, field
from typing import Any

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, pgettext_lazy

from jobs.actions.finding import Draft, shown
from jobs.actions.refusals import Refused
from jobs.library import Explanation
from jobs.models import Finding, Job, Photo
from jobs.words import Bearing, Certainty, Effect, Mechanism
from portal.bench.explaining import FactsForm, choices, defaults, entry_of
from portal.bench.shots import Shot, shot

KEYS = ("certainty", "bearing", "effect")
LONGEST_TITLE = 140


class FindingForm(forms.Form):
    """What is said. With `strict` (to post, to preview) the three keys must be pressed; without (to keep) hardly anything must."""

    explanation = forms.ChoiceField(label=gettext_lazy("Or from the whole list"), required=False)
    title = forms.CharField(
        label=gettext_lazy("In one line"), max_length=LONGEST_TITLE, required=False,
        widget=forms.TextInput(attrs={"class": "reads", "autocomplete": "off"}),
    )  # fmt: skip
    text = forms.CharField(
        label=gettext_lazy("What we found"),
        help_text=gettext_lazy("Two to four sentences. (1) becomes mark 1 of the photograph."),
        max_length=4000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    certainty = forms.ChoiceField(
        label=gettext_lazy("How sure"), choices=Certainty.choices, widget=forms.RadioSelect, required=False
    )
    bearing = forms.ChoiceField(
        label=gettext_lazy("The story"), choices=Bearing.choices, widget=forms.RadioSelect, required=False
    )
    effect = forms.ChoiceField(
        label=pgettext_lazy("of a finding", "What it does"),
        choices=Effect.choices,
        widget=forms.RadioSelect,
        required=False,
    )
    mechanism = forms.ChoiceField(
        label=gettext_lazy("Which part of the camera"),
        choices=[("", gettext_lazy("Choose")), *Mechanism.choices],
        required=False,
    )
    because = forms.CharField(
        label=gettext_lazy("Why it changes"),
        help_text=gettext_lazy("The customer reads this, beside what it said before."),
        max_length=400,
        required=False,
    )

    def __init__(self, job: Job, *args: Any, strict: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.strict = strict
        self.fields["explanation"].choices = choices(job)
        if (self.data if self.is_bound else self.initial).get("explanation"):
            self.fields["title"].help_text = _("Empty: the library’s own sentence.")

    def clean(self) -> None:
        for name in KEYS if self.strict else ():
            if not self.cleaned_data.get(name) and name not in self.errors:
                self.add_error(name, _("Press one of these."))
        if self.strict and not self.cleaned_data.get("mechanism") and "mechanism" not in self.errors:
            self.add_error("mechanism", _("Choose the part that it is about."))


@dataclass
class Sheet:
    """One finding being written. `finding` is None for a new one."""

    job: Job
    finding: Finding | None
    form: FindingForm
    facts: FactsForm | None
    shots: list[Shot] = field(default_factory=list)

    @property
    def entry(self) -> Explanation | None:
        return self.facts.entry if self.facts else None

    @property
    def is_posted(self) -> bool:
        return self.finding is not None and self.finding.state == Finding.State.POSTED

    @property
    def words(self) -> int:
        """How many words of the library the customer will read; 0 while facts are missing."""
        return self.entry.sample().words if self.entry else 0

    @property
    def problems(self) -> list[tuple[str, str, str]]:
        """(label, id of the field or "", sentence) for all there is to mend."""
        each = [
            self.form,
            *([self.facts] if self.facts else []),
            *(one.form for one in self.shots if one.is_ready),
        ]
        return [problem for form in each if form.is_bound for problem in _problems(form)]

    @property
    def wrong(self) -> int:
        return len(self.problems)

    def is_valid(self) -> bool:
        """Judge everything, so that every field says at once what is wrong."""
        checked = [self.form.is_valid(), self.facts is None or self.facts.is_valid()]
        checked += [one.form.is_valid() for one in self.shots if one.form.is_bound]
        if all(checked) and not self.title():
            self.form.add_error("title", _("Give the finding a title. The customer reads it first."))
        return all(checked) and not self.form.errors

    def title(self) -> str:
        """As typed; else the explanation's own sentence filled with these facts; else, to keep for later, its question."""
        if typed := self.form.cleaned_data["title"].strip():
            return str(typed)
        if self.entry is None:
            return ""
        try:
            short = str(shown(self.entry.key, self.given())["short"]).rstrip(".")
        except Refused:
            short = ""
        if self.form.strict:
            return short if len(short) <= LONGEST_TITLE else ""
        return (short or self.entry.title)[:LONGEST_TITLE]

    def given(self) -> dict[str, Any]:
        return self.facts.facts() if self.facts else {}

    def draft(self) -> Draft:
        """What is said, once it `is_valid`."""
        said = self.form.cleaned_data
        return Draft(
            mechanism=said["mechanism"],
            certainty=said["certainty"],
            bearing=said["bearing"],
            effect=said["effect"],
            title=self.title(),
            text=said["text"],
            explanation=self.entry.key if self.entry else "",
            facts=self.given(),
        )


def stored(job: Job, finding: Finding | None) -> Sheet:
    """The sheet as it was kept, or a blank one with the photographs that wait for a finding."""
    facts = None
    if finding and (entry := entry_of(finding.explanation)):
        facts = FactsForm(entry, initial=finding.facts or None)
    initial = (
        {name: getattr(finding, name) for name in FindingForm.base_fields if name != "because"}
        if finding
        else {}
    )
    rows = (
        finding.photos if finding else job.photos.filter(purpose=Photo.Purpose.FINDING, finding__isnull=True)
    )
    shots = [shot(one) for one in rows.prefetch_related("marks")]
    return Sheet(job, finding, FindingForm(job, initial=initial), facts, shots)


def sent(job: Job, finding: Finding | None, data: QueryDict, new: list[Photo], *, strict: bool) -> Sheet:
    """The sheet as it was sent, with photographs that came along."""
    entry = entry_of(data.get("explanation", ""))
    facts = FactsForm(entry, data, strict=strict) if entry else None
    form = FindingForm(job, data, strict=strict)
    return Sheet(job, finding, form, facts, _shots(job, finding, data, new))


def used(job: Job, finding: Finding | None, data: QueryDict, new: list[Photo], key: str) -> Sheet:
    """The sheet as it was sent, with an explanation put on it: its keys pressed, its facts asked for, nothing judged yet."""
    entry = entry_of(key)
    typed = {name: data.get(name, "") for name in FindingForm.base_fields}
    if key != data.get("was", ""):
        typed |= defaults(entry) if entry else {"explanation": ""}
    facts = FactsForm(entry, initial=_facts_so_far(entry, data)) if entry else None
    if facts:
        facts.take_focus()
    return Sheet(job, finding, FindingForm(job, initial=typed), facts, _shots(job, finding, data, new))


def _shots(job: Job, finding: Finding | None, data: QueryDict, new: list[Photo]) -> list[Shot]:
    """The photographs that were on the sheet: only this job's, and none that belongs to another finding."""
    named = {*data.getlist("photo"), *(photo.uid.hex for photo in new)}
    rows = job.photos.filter(purpose=Photo.Purpose.FINDING).prefetch_related("marks")
    mine = [
        row for row in rows if row.finding_id == (finding.pk if finding else None) or row.finding_id is None
    ]
    attached = [row for row in mine if row.uid.hex in named or row.finding_id is not None]
    return [shot(row, data) for row in attached]


def _facts_so_far(entry: Explanation, data: QueryDict) -> dict[str, str]:
    typed = {asked.key: data.get(f"fact-{asked.key}", "") for asked in entry.fields}
    return {key: value for key, value in typed.items() if value}


def _problems(form: forms.Form) -> list[tuple[str, str, str]]:
    found = [("", "", str(sentence)) for sentence in form.non_field_errors()]
    for bound in form:
        found += [(str(bound.label), bound.auto_id, str(sentence)) for sentence in bound.errors]
    return found
