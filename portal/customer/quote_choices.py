"""What of a quote can be chosen, what is chosen before anybody answered, and how each choice is asked."""

from collections.abc import Iterator, Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.adding_up import Sheet
from jobs.words import FIXED_KINDS

YES, NO, NONE, ASK = "yes", "no", "none", "ask"
CHOICES = [(YES, gettext_lazy("Yes, do it")), (NO, gettext_lazy("No, leave it"))]

Line = Mapping[str, Any]


def chosen_lines(told: Mapping[str, Any]) -> Iterator[Line]:
    """Lines that can be chosen: without what comes with the job."""
    yield from (line for line in told["lines"] if line["kind"] not in FIXED_KINDS)


def groups_of(told: Mapping[str, Any]) -> dict[int, list[Line]]:
    """Alternatives by the number of their group; a line that is alone in its group is no alternative."""
    found: dict[int, list[Line]] = {}
    for line in chosen_lines(told):
        if line.get("either") is not None:
            found.setdefault(line["either"], []).append(line)
    return {group: lines for group, lines in found.items() if len(lines) > 1}


def asked_turns(line: Line) -> list[Mapping[str, Any]]:
    """Ways a try may turn out after which something could follow."""
    return [turn for turn in line.get("outcomes", ()) if turn["follow_ons"] and not turn["stops"]]


def first_choice(sheet: Sheet) -> frozenset[int]:
    """What is chosen before anybody answered: what is needed, without lines that need another which is not."""
    chosen = sheet.needed
    while short := {
        pk for pk in chosen if any(_is_missing(sheet, other, chosen) for other in sheet.by_id[pk].requires)
    }:
        chosen -= short
    return chosen


def _is_missing(sheet: Sheet, pk: int, chosen: frozenset[int]) -> bool:
    return pk in sheet.by_id and not sheet.by_id[pk].is_fixed and pk not in chosen


def two_radios(line: Line, beforehand: frozenset[int]) -> forms.ChoiceField:
    return forms.ChoiceField(
        label=line["title"],
        choices=CHOICES,
        initial=YES if line["id"] in beforehand else NO,
        widget=forms.RadioSelect,
        error_messages={"required": _("Choose yes or no."), "invalid_choice": _("Choose yes or no.")},
    )


def one_of(lines: list[Line], beforehand: frozenset[int]) -> forms.ChoiceField:
    first = next((str(line["id"]) for line in lines if line["id"] in beforehand), NONE)
    wrong = _("Choose one of these, or none.")
    return forms.ChoiceField(
        label=_("Choose one of these"),
        choices=[*((str(line["id"]), line["title"]) for line in lines), (NONE, _("None of these"))],
        initial=first,
        widget=forms.RadioSelect,
        error_messages={"required": wrong, "invalid_choice": wrong},
    )


def what_follows(turn: Mapping[str, Any]) -> forms.ChoiceField:
    """Nothing said is "stop and ask", which costs nothing."""
    return forms.ChoiceField(
        label=turn["title"],
        choices=[
            *((str(each["id"]), each["title"]) for each in turn["follow_ons"]),
            (ASK, _("Stop and ask me")),
        ],
        initial=ASK,
        required=False,
        widget=forms.RadioSelect,
        error_messages={"invalid_choice": _("Choose one thing that shall follow.")},
    )
