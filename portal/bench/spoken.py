"""What was agreed to by telephone, in words that stand in the evidence: lines, branches, ceiling, sums."""

from collections.abc import Collection, Iterator, Sequence

from django.utils.translation import gettext as _

from jobs import money
from jobs.adding_up import Reckoned
from jobs.models import Line, Quote


def sentence(
    quote: Quote,
    lines: Sequence[Line],
    yes: Collection[int],
    name: str,
    reckoned: Reckoned,
    ceiling: int | None = None,
) -> str:
    """`lines` are those that stand by themselves, with their outcomes at hand."""
    wanted = [line for line in lines if line.pk in yes and not line.is_fixed]
    if not wanted:
        return _nothing(quote) % {"name": name}
    titles = "; ".join(_title(line, quote.currency) for line in wanted)
    said = [_("%(name)s said yes by telephone to: %(lines)s.") % {"name": name, "lines": titles}]
    for line in wanted:
        said += _branches(line, yes, quote.currency)
    said.append(_sum(reckoned, quote.currency))
    if ceiling is not None:
        shown = money.show(ceiling, quote.currency)
        said.append(_("Their ceiling is %(sum)s: past it, stop and ask.") % {"sum": shown})
    return " ".join(said)


def _nothing(quote: Quote) -> str:
    if quote.is_supplementary:
        return _("%(name)s said no to this by telephone; what was agreed before goes on.")
    return _("%(name)s said by telephone: no work; it goes back as it is.")


def _title(line: Line, currency: str) -> str:
    if not line.up_to:
        return line.title
    return _("%(line)s (up to %(sum)s)") % {"line": line.title, "sum": money.show(line.price, currency)}


def _branches(line: Line, yes: Collection[int], currency: str) -> Iterator[str]:
    for outcome in line.outcomes.all():
        follow_ons = list(outcome.follow_ons.all())
        agreed = next((each for each in follow_ons if each.pk in yes), None)
        told = {"outcome": outcome.title.rstrip("."), "line": ""}
        if outcome.stops:
            yield _("If it turns out “%(outcome)s”: we stop there.") % told
        elif agreed:
            told["line"] = f"{agreed.title}, {money.show(agreed.price, currency)}"
            yield _("If it turns out “%(outcome)s”: %(line)s.") % told
        elif follow_ons:
            yield _("If it turns out “%(outcome)s”: stop and ask.") % told


def _sum(reckoned: Reckoned, currency: str) -> str:
    shown = money.show(reckoned.total.gross, currency)
    if not reckoned.is_open:
        return _("Together %(sum)s.") % {"sum": shown}
    ends = {"least": reckoned.lowest, "mean": reckoned.expected, "most": reckoned.highest}
    return _("It comes to %(least)s at the least, %(mean)s on average, %(most)s at the most.") % {
        name: money.show(minor, currency) for name, minor in ends.items()
    }
