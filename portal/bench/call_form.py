"""The answers to a quote as they are said on the telephone: yes or no, one of several, what shall follow a try, and a ceiling."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django import forms
from django.utils.functional import cached_property
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.actions.deciding import Answer
from jobs.adding_up import Reckoned, Sheet
from jobs.evidence import reckon_answer, sheet
from jobs.models import Decision, Line, Outcome, Quote
from jobs.words import Need
from portal.bench.drafted import Row, price_words, rows
from portal.bench.fields import MoneyField
from portal.bench.spoken import sentence

YES_OR_NO = [("yes", gettext_lazy("Yes")), ("no", gettext_lazy("No"))]
ASK = ""  # of an outcome: stop and ask; of alternatives: none of them


@dataclass(frozen=True)
class Branch:
    """An outcome after which something may follow, with its question."""

    outcome: Outcome
    field: Any


@dataclass(frozen=True)
class Read:
    """What is read out next: one line, or several of which one can be chosen. `field` is None for what comes with the job."""

    rows: list[Row]
    field: Any
    branches: list[Branch]

    @property
    def is_yes_or_no(self) -> bool:
        return len(self.rows) == 1


class CallForm(forms.Form):
    """Who said what. `shown_hash` is the quote that we read out."""

    shown_hash = forms.CharField(widget=forms.HiddenInput, max_length=64)
    ceiling = MoneyField(
        label=gettext_lazy("Their ceiling"),
        help_text=gettext_lazy("If something would take it past that sum, we stop and ask. Empty for none."),
        required=False,
        empty_value=None,
    )
    name = forms.CharField(
        label=gettext_lazy("Who said so"),
        max_length=120,
        error_messages={"required": gettext_lazy("Say who it was.")},
    )

    def __init__(self, quote: Quote, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.quote = quote
        lines = quote.lines.asked().order_by("position", "pk")
        self.lines = list(lines.prefetch_related("findings", "requires", "outcomes__follow_ons"))
        self.fields["ceiling"].currency = quote.currency
        if not any(line.up_to or line.outcomes.all() for line in self.lines):
            del self.fields["ceiling"]
        for group in self._groups:
            self._ask(group)
        name = self.fields.pop("name")
        self.fields["name"] = name  # comes last: it is asked last

    @cached_property
    def sheet(self) -> Sheet:
        return sheet(self.quote)

    @property
    def _groups(self) -> list[list[Line]]:
        """Lines in their order; alternatives together, where the first of them stands."""
        found: dict[object, list[Line]] = {}
        for line in self.lines:
            key = ("either", line.either) if line.either is not None else ("line", line.pk)
            found.setdefault(key, []).append(line)
        return list(found.values())

    def _ask(self, group: list[Line]) -> None:
        first = group[0]
        if first.is_fixed:
            return
        if len(group) == 1:
            self.fields[_name(group)] = forms.ChoiceField(
                label=first.title,
                choices=YES_OR_NO,
                widget=forms.RadioSelect,
                initial="yes" if first.need == Need.NEEDED else "no",
                error_messages={"required": _("Press yes or no.")},
            )
        else:
            needed = next((line.pk for line in group if line.need == Need.NEEDED), ASK)
            self.fields[_name(group)] = forms.ChoiceField(
                label=_("One of these"),
                choices=[
                    *(
                        (str(line.pk), f"{line.title}, {price_words(line, self.quote.currency)}")
                        for line in group
                    ),
                    (ASK, _("None of these")),
                ],
                widget=forms.RadioSelect,
                initial=str(needed),
                required=False,
            )
        for line in group:
            for outcome in line.outcomes.all():
                if outcome.follow_ons.all():
                    self.fields[f"branch{outcome.pk}"] = self._branch(outcome)

    def _branch(self, outcome: Outcome) -> forms.ChoiceField:
        follow_ons = [
            (str(each.pk), f"{each.title}, {price_words(each, self.quote.currency)}")
            for each in outcome.follow_ons.all()
        ]
        return forms.ChoiceField(
            label=_("If so: %(outcome)s") % {"outcome": outcome.title},
            choices=[*follow_ons, (ASK, _("Stop and ask"))],
            widget=forms.RadioSelect,
            initial=ASK,
            required=False,
        )

    @property
    def read(self) -> Iterator[Read]:
        """For the page, in the order of the quote."""
        by_pk = {row.line.pk: row for row in rows(self.quote, self.lines)}
        for group in self._groups:
            name = _name(group)
            outcomes = [outcome for line in group for outcome in line.outcomes.all()]
            branches = [
                Branch(each, self[f"branch{each.pk}"])
                for each in outcomes
                if f"branch{each.pk}" in self.fields
            ]
            field = self[name] if name in self.fields else None
            yield Read([by_pk[line.pk] for line in group], field, branches)

    @property
    def yes(self) -> set[int]:
        """Lines and branches that were said yes to; a branch only where its line was."""
        said = self.cleaned_data
        wanted: set[int] = set()
        for group in self._groups:
            answer = said.get(_name(group), ASK)
            if answer == "yes":
                wanted.add(group[0].pk)
            elif answer.isdecimal():
                wanted.add(int(answer))
        for line in self.lines:
            for outcome in line.outcomes.all():
                answer = said.get(f"branch{outcome.pk}", ASK)
                if line.pk in wanted and answer:
                    wanted.add(int(answer))
        return wanted

    def reckoned(self) -> Reckoned:
        return reckon_answer(self.quote, self.sheet, self.yes)

    def answer(self, noted_by: str) -> Answer:
        said = self.cleaned_data
        ceiling = said.get("ceiling")
        return Answer(
            shown_hash=said["shown_hash"],
            yes=self.yes,
            name=said["name"],
            sentence=sentence(self.quote, self.lines, self.yes, said["name"], self.reckoned(), ceiling),
            way=Decision.Way.TELEPHONE,
            noted_by=noted_by,
            ceiling=ceiling,
        )

    def field_of(self, named: str) -> str | None:
        """The field that a refusal is about: "line-12" is asked in line12, or among its alternatives."""
        _line, _dash, pk = named.partition("line-")
        for group in self._groups:
            if pk in {str(line.pk) for line in group}:
                return _name(group) if _name(group) in self.fields else None
        return named if named in self.fields else None


def _name(group: list[Line]) -> str:
    return f"line{group[0].pk}" if len(group) == 1 else f"either{group[0].either}"
