"""One line of a quote as the technician writes it: quick when it is simple; time, tax, alternatives and tries where they matter."""

from collections.abc import Iterator, Mapping
from typing import Any

from django import forms
from django.db import transaction
from django.utils.functional import cached_property
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs import collection
from jobs.actions.quote import LineDraft, draft_quote, put_line
from jobs.actions.quote_lines import group_of
from jobs.models import Finding, Job, Line, Quote, Workshop
from jobs.odds import counts, key_of
from jobs.quoting import Tax
from jobs.words import FIXED_KINDS, LineKind, Mechanism, Need
from portal.bench import ways
from portal.bench.fields import MoneyField, WholeField
from portal.bench.line_choices import others_of, price_words, stored, tax_choices, usual_months
from portal.bench.time_or_price import minutes_field, problem
from portal.bench.way_fields import add_fields

MORE = ("months", "up_to", "least", "tax", "mechanism", "requires", "either")


class LineForm(forms.Form):
    """Price as money, with or without tax as the workshop counts; or minutes at the price of an hour. `do`: more, try or line."""

    title = forms.CharField(
        label=gettext_lazy("What it is"),
        max_length=140,
        widget=forms.TextInput(attrs={"class": "reads"}),
        error_messages={"required": gettext_lazy("Say what it is.")},
    )
    kind = forms.ChoiceField(label=gettext_lazy("Kind"), choices=LineKind.choices, initial=LineKind.WORK)
    price = MoneyField(label=gettext_lazy("Price"), required=False, empty_value=None)
    minutes = minutes_field()
    usual_minutes = forms.CharField(required=False, widget=forms.HiddenInput)  # filled in, not typed
    per_hour = MoneyField(label=gettext_lazy("at so much an hour"), required=False, empty_value=None)
    need = forms.ChoiceField(
        label=gettext_lazy("How much we urge it"),
        choices=Need.choices,
        widget=forms.RadioSelect,
        initial=Need.NEEDED,
        error_messages={"required": gettext_lazy("Press one of these.")},
    )
    why = forms.CharField(
        label=gettext_lazy("Why"), max_length=400, required=False, widget=forms.Textarea(attrs={"rows": 2})
    )
    findings = forms.ModelMultipleChoiceField(
        label=gettext_lazy("Findings that it answers"),
        queryset=Finding.objects.none(),
        widget=forms.CheckboxSelectMultiple,
        required=False,
        error_messages={"invalid_choice": gettext_lazy("That finding is not of this job.")},
    )
    months = WholeField(
        label=gettext_lazy("Months of warranty"),
        required=False,
        most=120,
        widget=forms.NumberInput(attrs={"class": "short"}),
    )
    up_to = forms.BooleanField(label=gettext_lazy("Up to this price: it may come to less"), required=False)
    least = MoneyField(label=gettext_lazy("At the least"), required=False)
    tax = forms.ChoiceField(label=gettext_lazy("Tax"), required=False)
    mechanism = forms.ChoiceField(
        label=gettext_lazy("Part of the camera"),
        choices=[("", gettext_lazy("As the first finding says")), *Mechanism.choices],
        required=False,
    )
    requires = forms.ModelMultipleChoiceField(
        label=gettext_lazy("Only together with"),
        queryset=Line.objects.none(),
        widget=forms.CheckboxSelectMultiple,
        required=False,
        error_messages={"invalid_choice": gettext_lazy("That line is not of this quote.")},
    )
    either = forms.ModelChoiceField(
        label=gettext_lazy("One of these: in the place of"),
        queryset=Line.objects.none(),
        required=False,
        empty_label=gettext_lazy("By itself"),
        error_messages={"invalid_choice": gettext_lazy("That line is not of this quote.")},
    )

    def __init__(
        self,
        job: Job,
        house: Workshop,
        quote: Quote | None,
        data: Any = None,
        line: Line | None = None,
        initial: Mapping[str, Any] | None = None,
        more: int = 0,
    ) -> None:
        first = dict(initial or {}) or (stored(line) if line else {})
        super().__init__(data, initial=first)
        self.job, self.house, self.quote, self.line = job, house, quote, line
        self.just_grown = False  # rows were added, or filled in: the page goes there
        self.rows = min(ways.MOST_OUTCOMES, ways.rows_in(first if data is None else data) + more)
        add_fields(self, self.rows, house.currency)
        self._set_up(house, quote, line)

    def _set_up(self, house: Workshop, quote: Quote | None, line: Line | None) -> None:
        fields: dict[str, Any] = self.fields
        fields["findings"].queryset = self.job.findings.standing()
        for name in ("price", "per_hour", "least"):
            fields[name].currency = house.currency
        fields["price"].help_text = price_words(house)
        fields["per_hour"].initial = house.hour_price or None
        fields["months"].help_text = _("Left empty: as usual for its kind and mechanism.")
        fields["months"].widget.attrs["placeholder"] = usual_months(house, LineKind.WORK, "")
        others = others_of(quote, line)
        fields["requires"].queryset = fields["either"].queryset = others
        if not others:
            del fields["requires"], fields["either"]
        fields["tax"].choices = tax_choices(house, quote, line)
        if len(fields["tax"].choices) < 2:
            del fields["tax"]

    def clean(self) -> dict[str, Any]:
        said = super().clean() or self.cleaned_data
        if said.get("price") is not None and said.get("usual_minutes") == str(said.get("minutes")):
            said["minutes"] = None  # nobody typed them: the price that was typed counts
        if not {"price", "minutes", "per_hour"} & self.errors.keys():
            bad = problem(said.get("price"), said.get("minutes"), said.get("per_hour"))
            if bad:
                self.add_error(*bad)
        if said.get("least") and not said.get("up_to"):
            self.add_error("least", _("Only an “up to” price has a least. Tick it above, or empty this."))
        if said.get("either") and said["either"] in said.get("requires", ()):
            self.add_error("either", _("A line cannot need another one and stand in its place."))
        self._check_need(said)
        self.outcomes = ways.read(self, self.rows, self._base())
        if self.outcomes and said.get("kind") in FIXED_KINDS:
            self.add_error("kind", _("Only work and parts can be tried first."))
        return said

    def _check_need(self, said: dict[str, Any]) -> None:
        """What is needed is chosen beforehand, so it cannot hang on a line that is not."""
        is_needed = said.get("need") == Need.NEEDED
        for other in said.get("requires", ()) if is_needed else ():
            if other.need != Need.NEEDED:
                words = _("This is needed, and “%(line)s” is not. Call both needed, or neither.")
                return self.add_error("requires", words % {"line": other.title})
        if self.line and said.get("need") and not is_needed:
            other = self.line.required_by.filter(need=Need.NEEDED).first()
            if other:
                words = _("“%(line)s” is needed, and goes only together with this. So this is needed too.")
                self.add_error("need", words % {"line": other.title})
        return None

    def _base(self) -> ways.Base:
        said = self.cleaned_data
        line = {"need": said.get("need", Need.NEEDED), "tax": self._tax()}
        months = usual_months(self.house, LineKind.WORK, self._mechanism())
        return ways.Base(line, said.get("per_hour"), months, counts(self._keys()))

    def _keys(self) -> list[str]:
        """Keys that an outcome of this line may bear: those of its findings' explanations, and those it has."""
        there = collection.entries()
        named = [each.explanation for each in self.cleaned_data.get("findings", ())]
        found = [key_of(there[key], one.key) for key in named if key in there for one in there[key].outcomes]
        if self.line:
            found += [outcome.key for outcome in self.line.outcomes.all() if outcome.key]
        return found

    def _mechanism(self) -> str:
        said = self.cleaned_data
        first = next(iter(said.get("findings", ())), None)
        return said.get("mechanism") or (first.mechanism if first else "")

    def _tax(self) -> Tax | None:
        chosen = self.cleaned_data.get("tax")
        if not chosen:
            return None
        category, _colon, rate = chosen.partition(":")
        return Tax(category, int(rate))

    def put(self) -> Line:
        """Write the line into the job's draft, which is begun if there is none. All or nothing."""
        with transaction.atomic():
            quote = self.line.quote if self.line else draft_quote(self.job)
            return put_line(quote, self._draft(quote), self.line)

    def _draft(self, quote: Quote) -> LineDraft:
        said = self.cleaned_data
        by_time = said["minutes"] is not None
        usual = usual_months(self.house, said["kind"], self._mechanism())
        other = said.get("either")
        return LineDraft(
            kind=said["kind"],
            need=said["need"],
            title=said["title"],
            why=said["why"],
            price=said["price"] or 0,
            minutes=said["minutes"],
            per_hour=said["per_hour"] if by_time else None,
            months=usual if said["months"] is None else said["months"],
            findings=list(said["findings"]),
            mechanism=said["mechanism"],
            tax=self._tax(),
            up_to=said["up_to"],
            least=said["least"],
            requires=list(said.get("requires", ())),
            either=group_of(quote, other) if other else None,
            outcomes=self.outcomes,
        )

    @cached_property
    def turns(self) -> list[ways.Way]:
        """The ways it may turn out, for the page."""
        return list(ways.bound(self, self.rows))

    @property
    def more(self) -> Iterator[Any]:
        """The folded fields that there are."""
        return (self[name] for name in MORE if name in self.fields)

    @property
    def more_open(self) -> bool:
        """Whether the fold has something in it beside what every line has: typed, stored or wrong."""
        return any(
            field.errors or (field.name not in ("months", "tax") and field.value()) for field in self.more
        )

    @property
    def ways_open(self) -> bool:
        return any(way.title.value() or way.title.errors or way.share.errors for way in self.turns)
