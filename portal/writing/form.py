"""The fields of one explanation, as they are typed. They keep whatever is typed; `judging` says what is wrong with it."""

from typing import Any

from django import forms
from django.utils.functional import Promise
from django.utils.text import capfirst
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from jobs.library import draw, shared
from jobs.library.explanation import HEADINGS
from jobs.words import Bearing, Certainty, Effect, Trait

Words = str | Promise
BLANK = ("", _("Choose"))
KINDS = [
    BLANK,
    ("choice", _("One of a few answers")),
    ("integer", _("A whole number")),
    ("decimal", _("A number with decimals")),
    ("text", _("A few words")),
]


def _line(label: Words, hint: Words = "", **attrs: Any) -> forms.CharField:
    widget = forms.TextInput(attrs={"autocomplete": "off", **attrs})
    return forms.CharField(label=label, help_text=hint, required=False, widget=widget)


def _number(label: Words, hint: Words = "") -> forms.CharField:
    # Not type=number: a browser hands over nothing at all where it cannot read what was typed.
    widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off", "class": "short"})
    return forms.CharField(label=label, help_text=hint, required=False, widget=widget)


def _sentence(label: Words, hint: Words = "") -> forms.CharField:
    """One line of a file, with room to see all of it."""
    widget = forms.Textarea(attrs={"rows": 2, "class": "reads"})
    return forms.CharField(label=label, help_text=hint, required=False, widget=widget)


def _lines(label: Words, hint: Words = "", rows: int = 4) -> forms.CharField:
    return forms.CharField(
        label=label, help_text=hint, required=False, widget=forms.Textarea(attrs={"rows": rows})
    )


def _part(key: str, hint: Words = "", rows: int = 6) -> forms.CharField:
    widget = forms.Textarea(attrs={"rows": rows, "class": "reads"})
    return forms.CharField(label=_(HEADINGS[key]), help_text=hint, required=False, widget=widget)


def _keys(label: Words, words: Any) -> forms.ChoiceField:
    return forms.ChoiceField(label=label, choices=words.choices, widget=forms.RadioSelect, required=False)


class EntryForm(forms.Form):
    """Everything but the rows. The parts have the keys of `jobs.library.explanation.HEADINGS`."""

    title = _line(_("Title"), _("As a customer would ask it."), **{"class": "reads"})
    short = _sentence(_("In short"), _("One sentence."))
    notice = _lines(
        _("What owners may notice"), _("At least three, in owners’ words, each on its own line."), 5
    )
    bench_words = _lines(
        _("What the bench calls it"), _("Each on its own line. Customers never read this."), 2
    )
    certainty = _keys(_("How sure"), Certainty)
    bearing = _keys(_("The story"), Bearing)
    effect = _keys(pgettext_lazy("of a finding", "What it does"), Effect)

    happening = _part("happening", rows=9)
    how_we_know = _part("how_we_know")
    how_sure = _part("how_sure")
    what_we_do = _part("what_we_do")
    not_undone = _part("not_undone", _("Leave it empty when there is nothing."), 4)
    what_you_can_do = _part(
        "what_you_can_do", _("Steps, each on its own line with its number: 1. 2. 3. Only what is safe from outside."), 5
    )  # fmt: skip

    cautions = forms.MultipleChoiceField(
        label=_("Take care"), required=False, widget=forms.CheckboxSelectMultiple,
        help_text=_("The words of each stand in the library and are put in by themselves."),
    )  # fmt: skip
    traits = forms.MultipleChoiceField(
        label=_("Only for cameras with"), choices=Trait.choices, required=False,
        widget=forms.CheckboxSelectMultiple, help_text=_("None: for any camera."),
    )  # fmt: skip
    minutes_low = _number(_("Seldom less than"))
    minutes_likely = _number(_("Likely"))
    minutes_high = _number(_("Seldom more than"))

    check_ask = _line(_("What we ask"), _("Only for a matter of use, and only what is safe from outside."))
    check_steps = _lines(_("How to look"), _("One to four steps, each on its own line, without numbers."), 4)
    check_settled = _line(_("What it means if that was it"))
    habit = _line(
        _("A habit for afterwards"), _("One sentence that keeps it from happening again. It goes home with the camera.")
    )  # fmt: skip

    drawing = forms.ChoiceField(label=_("Drawing"), required=False)
    legend = _lines(_("What the numbers on it stand for"), _("One line for each number, in order."), 3)

    sources = _lines(_("Where we have it from"), _("Each on its own line. Only we read this."), 3)
    note = _line(_("What changed"), maxlength=400)

    def __init__(self, data: Any) -> None:
        super().__init__(data)
        cautions = [(one.key, one.title) for one in shared.cautions().values()]
        self.fields["cautions"].choices = _ticked_first(cautions, self["cautions"].value())
        self.fields["traits"].choices = _ticked_first(Trait.choices, self["traits"].value())
        titles = [(name, draw.get(name).front.title) for name in draw.names()]
        self.fields["drawing"].choices = [("", _("No drawing")), *titles]
        self.params = _params(self.data.get("drawing", ""))
        self.fields |= {f"param_{param.key}": _param(param) for param in self.params}

    @property
    def of_the_drawing(self) -> list[forms.BoundField]:
        return [self[f"param_{param.key}"] for param in self.params]


class OutcomeForm(forms.Form):
    """One way that work which must be tried may turn out."""

    key = forms.CharField(required=False, widget=forms.HiddenInput)
    text = _sentence(_("How it may turn out"))
    weight = _number(_("Weight"), _("1 to 100: how often, beside the others."))


class OptionForm(forms.Form):
    """One answer of a question that has a few."""

    value = _line(_("Short name"))
    text = _sentence(_("What the text says then"))
    also = _sentence(_("In a second sentence"))
    draw = _line(_("In the drawing"))


class QuestionForm(forms.Form):
    """One fact that the bench is asked for."""

    key = _line(_("Its name"), _("{name} in the text becomes the answer; {name.also} its second sentence."))
    label = _line(_("What the bench is asked"))
    kind = forms.ChoiceField(label=_("Kind of answer"), choices=KINDS, required=False)
    example = _line(_("An example"), _("Of a few answers: its short name."))
    default = _line(_("Answer already filled in"))
    unit = _line(_("Unit"))
    low = _number(_("At least"))
    high = _number(_("At most"))
    places = _number(_("Decimals"))
    longest = _number(_("Most letters"))


def _ticked_first(choices: list[tuple[str, Words]], ticked: list[str] | None) -> list[tuple[str, Words]]:
    """What is ticked stands first, in its own order: a browser sends boxes in the page's order, and readers read in that."""
    place = {value: n for n, value in enumerate(ticked or [])}
    return sorted(choices, key=lambda choice: place.get(choice[0], len(place)))


def _params(name: str) -> list[draw.Param]:
    return list(draw.get(name).front.param) if name in draw.names() else []


def _param(param: draw.Param) -> forms.CharField:
    """What a drawing can be told: as it is without, and what it takes. A question's answer goes in as {name}."""
    if param.words:
        takes = ", ".join(param.words)
    else:
        ends = ["" if end is None else str(end) for end in (param.low, param.high)]
        takes = _("%(low)s to %(high)s") % {"low": ends[0], "high": ends[1]} if any(ends) else ""
    hint = _("%(takes)s. Empty: %(usual)s.") % {"takes": takes, "usual": param.default}
    return _line(capfirst(param.meaning), hint)
