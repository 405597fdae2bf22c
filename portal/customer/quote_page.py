"""What the quote's page shows: lines with the findings they answer, and what the answer so far comes to."""

from collections.abc import Collection
from dataclasses import dataclass, field, replace
from typing import Any

from django.utils.formats import number_format
from django.utils.translation import gettext as _

from jobs import money
from jobs.actions.deciding import reckon_answer
from jobs.evidence import content, sheet
from jobs.models import Choice, Finding, Job, Line, Quote
from jobs.quoting import Total
from jobs.words import TaxMode
from portal.customer import photos
from portal.customer.forms import once_key
from portal.drawing import scale
from portal.drawing.pictures import Picture


@dataclass(frozen=True)
class Reason:
    """A finding that a line answers, in the words of the evidence; `changed` where it has been corrected or taken back since."""

    pk: int
    title: str
    certainty: str
    changed: bool


@dataclass(frozen=True)
class Asked:
    """One line as the page shows it. `field` is None where there is nothing to choose; `answer` what was decided."""

    line: Line
    reasons: list[Reason] = field(default_factory=list)
    pictures: list[Picture] = field(default_factory=list)
    field: Any = None
    answer: bool | None = None
    once: str = ""  # the key of the little form that asks about this line


@dataclass(frozen=True)
class Reckoning:
    """What an answer comes to, as templates/parts/reckoning.html takes it. `least` is what is needed, `most` everything."""

    rows: list[tuple[str, int]]
    total: Total
    least: int
    most: int
    scale: scale.Scale | None
    tax_words: str
    tax_added: bool


def lines_of(quote: Quote) -> list[Line]:
    return list(quote.lines.asked().prefetch_related("findings").order_by("position", "pk"))


def reckon(quote: Quote, lines: list[Line], yes: Collection[int], choosing: bool = True) -> Reckoning:
    """The sum of an answer, by the same function as the evidence: `total_of` over `chosen`. Drawn while there is a choice."""
    numbers = sheet(quote)
    sums = reckon_answer(quote, numbers, yes)
    total = sums.total
    least = reckon_answer(quote, numbers, numbers.needed).lowest
    most = reckon_answer(quote, numbers, numbers.everything).highest
    drawn = None
    if choosing and least < most:
        drawn = scale.money(
            min(least, total.gross), most, lambda minor: money.show(minor, quote.currency), total.gross
        )
    return Reckoning(
        rows=list(sums.rows),
        total=total,
        least=least,
        most=most,
        scale=drawn,
        tax_words=_tax_words(quote),
        tax_added=quote.tax_mode == TaxMode.ADDED and bool(quote.tax_rate_bp),
    )


def shown_lines(
    job: Job, quote: Quote, lines: list[Line], form: Any = None, answers: dict[int, bool] | None = None
) -> list[Asked]:
    """Lines with the photographs of their findings; with the form's radios, or with what was answered."""
    pictures = _pictures(job, lines)
    evidence = {told["id"]: told["findings"] for told in content(quote)["lines"]}
    return [
        Asked(
            line=line,
            reasons=_reasons(line, evidence.get(line.pk, [])),
            pictures=[picture for finding in line.findings.all() for picture in pictures.get(finding.pk, [])],
            field=form[f"line-{line.pk}"] if form and not line.is_fixed else None,
            answer=None if line.is_fixed else (answers or {}).get(line.pk),
            once=once_key(),
        )
        for line in lines
    ]


def _reasons(line: Line, told: list[dict[str, Any]]) -> list[Reason]:
    """The evidence lists a line's findings in the order of their rows, and so do we."""
    return [
        Reason(
            pk=finding.pk,
            title=shown["title"],
            certainty=shown["certainty"],
            changed=finding.state != Finding.State.POSTED or finding.title != shown["title"],
        )
        for finding, shown in zip(line.findings.all(), told, strict=False)
    ]


def answers_to(quote: Quote) -> dict[int, bool]:
    return dict(Choice.objects.filter(decision__quote=quote).values_list("line_id", "yes"))


def _pictures(job: Job, lines: list[Line]) -> dict[int, list[Picture]]:
    titles = {finding.pk: finding.title for line in lines for finding in line.findings.all()}
    found: dict[int, list[Picture]] = {}
    for photo in job.photos.for_the_customer().filter(finding__in=titles).prefetch_related("marks"):
        whole = photos.picture_of(job, photo, title=titles[photo.finding_id])
        # A strip of it, to know it again by; its marks and its caption stand with the finding.
        found.setdefault(photo.finding_id, []).append(replace(whole, marked=None, caption=""))
    return found


def _tax_words(quote: Quote) -> str:
    if quote.tax_mode == TaxMode.NONE or not quote.tax_rate_bp:
        return ""
    percent = number_format(quote.tax_rate_bp / 100, 2).rstrip("0").rstrip(".")
    return _("%(name)s %(percent)s %%") % {"name": quote.tax_name, "percent": percent}
