"""The form that answers a quote: yes or no to each line, one of alternatives, what shall follow a try, a ceiling, a name, the terms."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs import money
from jobs.actions.coding import FIGURES
from jobs.actions.deciding import is_ceiling_too_low, why_impossible
from jobs.adding_up import Reckoned
from jobs.evidence import reckon_answer, sheet_of
from jobs.models import Quote
from portal.customer.quote_choices import (
    NO,
    NONE,
    YES,
    Line,
    asked_turns,
    chosen_lines,
    first_choice,
    groups_of,
    one_of,
    two_radios,
    what_follows,
)
from portal.customer.terms import is_open
from portal.money_field import MoneyField

CHOSEN = ("line-", "either-", "turn-")  # how the names of fields begin that choose something


class QuoteForm(forms.Form):
    """`told` is the quote as it was shown (`jobs.evidence.content`): the form asks about exactly that, without a query.

    Only what is needed is chosen beforehand, and of a try nothing that costs: nothing that costs more may be (Directive 2011/83/EU,
    Art. 22). Fields: "line-<id>" yes or no; "either-<group>" one of alternatives, or none; "turn-<id of the outcome>" what follows.
    """

    use_required_attribute = False

    ceiling = MoneyField(
        label=gettext_lazy("Your ceiling"),
        help_text=gettext_lazy("If something would take it past your ceiling, we stop and ask."),
        required=False,
        empty_value=None,
    )
    name = forms.CharField(
        label=gettext_lazy("Your full name, typed by you"),
        max_length=120,
        widget=forms.TextInput(attrs={"autocomplete": "name", "class": "name"}),
        error_messages={"required": gettext_lazy("Type your full name. It stands for your signature.")},
    )
    terms = forms.BooleanField(
        label=gettext_lazy("I have read these terms and agree to them"),
        error_messages={"required": gettext_lazy("Read the terms and tick them first.")},
    )
    code = forms.CharField(
        label=gettext_lazy("The six figures from the letter"),
        required=False,
        max_length=20,
        widget=forms.TextInput(
            attrs={"inputmode": "numeric", "autocomplete": "one-time-code", "class": "figures"}
        ),
    )
    quote = forms.IntegerField(widget=forms.HiddenInput)
    shown_hash = forms.CharField(max_length=64, widget=forms.HiddenInput)

    def __init__(self, row: Quote, told: dict[str, Any], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, initial={"quote": row.pk, "shown_hash": row.shown_hash}, **kwargs)
        self.row, self.told, self.sheet = row, told, sheet_of(told)
        self.field_of: dict[int, str] = {}  # line or follow-on -> the field that chooses it
        self.asks_code = False  # whether the page shows the field for the figures
        self.code_just_sent = False
        self.groups = groups_of(told)
        self.beforehand = first_choice(self.sheet)
        self._reckoned: dict[frozenset[int], Reckoned] = {}
        for line in chosen_lines(told):
            self._ask_about(line)
        self.fields["ceiling"].currency = row.currency
        if not is_open(told):
            del self.fields["ceiling"]
        first = [name for name in self.fields if name.startswith(CHOSEN)]
        self.order_fields([*first, "ceiling", "terms", "name", "code"])

    def _ask_about(self, line: Line) -> None:
        group = line.get("either")
        if group in self.groups:
            name = f"either-{group}"
            self.fields.setdefault(name, one_of(self.groups[group], self.beforehand))
        else:
            name = f"line-{line['id']}"
            self.fields[name] = two_radios(line, self.beforehand)
        self.field_of[line["id"]] = name
        for turn in asked_turns(line):
            self.fields[f"turn-{turn['id']}"] = what_follows(turn)
            self.field_of |= {each["id"]: f"turn-{turn['id']}" for each in turn["follow_ons"]}

    @property
    def declines(self) -> bool:
        """They pressed the button that says no to all of a supplementary quote."""
        return self.row.is_supplementary and "nothing" in self.data

    def yes(self) -> list[int]:
        """Lines and branches said yes to so far, whether or not the rest of the form is right."""
        if self.declines:
            return []
        return [pk for pk, name in self.field_of.items() if self[name].value() == _value(name, pk)]

    def declines_all(self) -> bool:
        """Every line has an answer, and every answer is no."""
        return all(
            self[name].value() in (NO, NONE)
            for name in set(self.field_of.values())
            if not name.startswith("turn-")
        )

    def sums(self) -> Reckoned:
        """What the answer so far comes to."""
        yes = frozenset(self.yes())
        if yes not in self._reckoned:
            self._reckoned[yes] = reckon_answer(self.row, self.sheet, yes)
        return self._reckoned[yes]

    def ceiling_so_far(self) -> int | None:
        """The ceiling as typed, where it can be read."""
        return self._ceiling()[0]

    def _ceiling(self) -> tuple[int | None, str]:
        """The ceiling as typed, and why it cannot be read if it cannot."""
        field = self.fields.get("ceiling")
        if field is None:
            return None, ""
        try:
            return field.clean(self["ceiling"].value() or ""), ""
        except forms.ValidationError as wrong:
            return None, " ".join(wrong.messages)

    def problems(self) -> list[tuple[str, str]]:
        """(field, sentence) for all that cannot be chosen so; field "" for what belongs to no question here."""
        found = [
            (self.field_of.get(line, ""), sentence)
            for line, sentence in why_impossible(self.sheet, self.yes())
        ]
        if self._is_foreign():
            found.append(("", _("There is a line here that this quote does not have. Load the page again.")))
        sums = self.sums()
        ceiling, unread = self._ceiling()
        if unread:
            found.append(("ceiling", _("Your ceiling: %(what)s") % {"what": unread}))
        if is_ceiling_too_low(sums, ceiling):
            least = money.show(sums.lowest, self.row.currency)
            found.append(
                ("ceiling", _("It comes to %(least)s at the least. Set it no lower.") % {"least": least})
            )
        return found

    def full_clean(self) -> None:
        if self.is_bound and self.declines:
            self.fields["terms"].required = False
        super().full_clean()

    def clean(self) -> dict[str, Any]:
        for field, sentence in self.problems():
            if field not in self.errors:
                self.add_error(field or None, sentence)
        if self.row.is_supplementary and not self.declines and self.declines_all():
            self.add_error(
                None,
                _(
                    "You said no to everything here. If you mean it, press the button for that below; it costs nothing."
                ),
            )
        return self.cleaned_data

    def clean_code(self) -> str:
        figures = "".join(self.cleaned_data["code"].split())
        if figures and not (figures.isascii() and figures.isdecimal() and len(figures) == FIGURES):
            raise forms.ValidationError(_("It is six figures, without letters."))
        return figures

    def _is_foreign(self) -> bool:
        return any(name.startswith(CHOSEN) and name not in self.fields for name in self.data)


def _value(name: str, pk: int) -> str:
    return YES if name.startswith("line-") else str(pk)
