"""The lines of a quote as the bench lists them: what each says beside its title and price, and how its try may turn out."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs import money
from jobs.adding_up import Reckoned
from jobs.models import Line, Outcome, Quote
from jobs.odds import IN_ALL, of_twenty
from jobs.words import LineKind, TaxCategory


@dataclass(frozen=True)
class Arm:
    """One way a try may turn out. `follow_ons`: (words, agreed or None while nobody has answered)."""

    outcome: Outcome
    share: int
    follow_ons: list[tuple[str, bool | None]]

    @property
    def often(self) -> str:
        return _("%(n)s of %(all)s") % {"n": self.share, "all": IN_ALL}


@dataclass(frozen=True)
class Row:
    """A line, its price in words, what else it says, and its arms. `yes`: the answer, None while there is none."""

    line: Line
    price: str
    notes: list[str]
    arms: list[Arm]
    yes: bool | None = None


def rows(quote: Quote, lines: Sequence[Line], answers: Mapping[int, bool] | None = None) -> list[Row]:
    """Rows of the lines that stand by themselves. `lines` come with findings, requires and outcomes' follow-ons at hand."""
    titles: dict[int, list[Line]] = {}
    for line in lines:
        if line.either is not None:
            titles.setdefault(line.either, []).append(line)
    said = answers or {}
    return [
        Row(
            line,
            price_words(line, quote.currency),
            list(_notes(quote, line, titles)),
            arms(line, quote.currency, said),
            said.get(line.pk),
        )
        for line in lines
    ]


def price_words(line: Line, currency: str) -> str:
    """ "£85"; "up to £60"."""
    shown = money.show(line.price, currency)
    return _("up to %(sum)s") % {"sum": shown} if line.up_to else shown


def arms(line: Line, currency: str, said: Mapping[int, bool]) -> list[Arm]:
    outcomes = list(line.outcomes.all())
    shares = of_twenty([each.weight for each in outcomes]) if outcomes else []
    return [
        Arm(
            outcome,
            share,
            [
                (f"{each.title}, {price_words(each, currency)}", said.get(each.pk))
                for each in outcome.follow_ons.all()
            ],
        )
        for outcome, share in zip(outcomes, shares, strict=True)
    ]


def _notes(quote: Quote, line: Line, titles: Mapping[int, list[Line]]) -> Iterable[str]:
    kind = str(LineKind(line.kind).label)
    yield kind if line.is_fixed else f"{kind}, {line.get_need_display().lower()}"
    if line.minutes is not None and line.per_hour is not None:
        hour = money.show(line.per_hour, quote.currency)
        yield ngettext(
            "%(n)s minute at %(hour)s an hour", "%(n)s minutes at %(hour)s an hour", line.minutes
        ) % {"n": line.minutes, "hour": hour}
    if line.up_to and line.least:
        yield _("at least %(sum)s") % {"sum": money.show(line.least, quote.currency)}
    if line.months:
        yield ngettext("one month of warranty", "%(n)s months of warranty", line.months) % {"n": line.months}
    if quote.tax_mode != "none" and (line.tax_category, line.tax_rate_bp) != ("S", quote.tax_rate_bp):
        yield _tax_words(quote, line)
    for other in line.requires.all():
        yield _("only together with “%(other)s”") % {"other": other.title}
    if line.either is not None:
        others = [each.title for each in titles.get(line.either, []) if each.pk != line.pk]
        if others:
            yield _("or “%(others)s”: one of these") % {"others": "”, “".join(others)}
    for finding in line.findings.all():
        if finding.title != line.title:
            yield finding.title


def _tax_words(quote: Quote, line: Line) -> str:
    if line.tax_category == TaxCategory.STANDARD:
        return f"{quote.tax_name} {line.tax_rate_bp / 100:g} %"
    return str(TaxCategory(line.tax_category).label)


@dataclass(frozen=True)
class Sums:
    """What an answer comes to, for templates/bench/sums.html: (words, minor units), and the total with tax."""

    rows: list[tuple[str, int]]
    reckoned: Reckoned
    ends: list[tuple[str, int]]


def sums(quote: Quote, reckoned: Reckoned) -> Sums:
    found = list(reckoned.rows)
    if reckoned.credit:
        found.append((_("Examination, taken off again"), -reckoned.credit))
    if quote.tax_mode == "added":
        found += [
            (f"{quote.tax_name} {group.tax.rate_bp / 100:g} %", group.due)
            for group in reckoned.total.groups
            if group.due
        ]
    ends = []
    if reckoned.is_open:
        ends = [(_("At the least"), reckoned.lowest)]
        if reckoned.expected < reckoned.highest:  # else only an “up to” is open: nobody knows its average
            ends.append((_("On average"), reckoned.expected))
        ends.append((_("At the most"), reckoned.highest))
    return Sums(found, reckoned, ends)
