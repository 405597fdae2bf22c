"""What a quote must be before it can be sent: with something to choose, possible, and of a size that can be added up."""

from dataclasses import replace

from django.utils.translation import gettext as _

from jobs.actions.refusals import Refused
from jobs.adding_up import Sheet, Turn, reckon
from jobs.convolving import TooMany
from jobs.evidence import sheet
from jobs.models import Line, Quote


def must_make_sense(lines: list[Line]) -> None:
    if all(line.is_fixed for line in lines):
        raise Refused(_("A quote needs at least one line of work or part."))
    by_pk = {line.pk: line for line in lines}
    for line in lines:
        chosen_of: dict[int, Line] = {}
        for other in _with_all_it_needs(line, by_pk):
            if other.either is None:
                continue
            if (first := chosen_of.setdefault(other.either, other)) is not other:
                raise Refused(_clash(line, first, other))


def _with_all_it_needs(line: Line, by_pk: dict[int, Line]) -> list[Line]:
    """The line, what it needs, what that needs in its turn, and so on."""
    found = [line]
    for each in found:  # grows while it is walked
        found += [
            by_pk[other.pk]
            for other in each.requires.all()
            if other.pk in by_pk and by_pk[other.pk] not in found
        ]
    return found


def _clash(line: Line, first: Line, other: Line) -> str:
    if first == line:
        return _("“%(line)s” needs “%(other)s”, but only one of them can be chosen.") % {
            "line": line.title,
            "other": other.title,
        }
    return _("“%(line)s” needs both “%(one)s” and “%(other)s”, but only one of those can be chosen.") % {
        "line": line.title,
        "one": first.title,
        "other": other.title,
    }


def must_add_up(quote: Quote) -> None:
    """Every answer must be one that we can reckon."""
    numbers = _harder_than_any(sheet(quote))
    try:
        reckon(numbers, numbers.by_id)
    except TooMany as too_many:
        raise Refused(
            _("So many tries can end in more ways than anybody can add up. Put some of them together.")
        ) from too_many


def _harder_than_any(numbers: Sheet) -> Sheet:
    """A sheet that can come to every sum that some answer can: all alternatives at once, and each follow-on, or none, a way of its own."""
    return replace(
        numbers,
        items=tuple(
            replace(item, turns=tuple(way for turn in item.turns for way in _apart(turn)))
            for item in numbers.items
        ),
    )


def _apart(turn: Turn) -> list[Turn]:
    return [replace(turn, follow_ons=()), *(replace(turn, follow_ons=(each,)) for each in turn.follow_ons)]
