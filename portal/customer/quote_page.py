"""What the quote's page shows: questions in the order of the quote, each line with the findings it answers."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from jobs.adding_up import Sheet
from jobs.models import Choice, Finding, Job, Line, Quote
from jobs.words import FIXED_KINDS, LineKind
from portal.customer import photos, quote_sums, quote_tries
from portal.customer.forms import once_key
from portal.customer.quote_choices import groups_of
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
    """One line as the page shows it, `line` in the words of the evidence.

    `field` is None where there is nothing to choose; `radio` the one that chooses it among alternatives; `answer` what was decided.
    """

    line: Mapping[str, Any]
    reasons: list[Reason] = field(default_factory=list)
    pictures: list[Picture] = field(default_factory=list)
    trial: quote_tries.Trial | None = None
    tax_note: str = ""
    credited: bool = False  # an examination that is taken off again, as long as nothing is answered
    together: list[str] = field(default_factory=list)
    field: Any = None
    radio: Any = None
    answer: bool | None = None
    once: str = ""  # the key of the little form that asks about this line

    @property
    def may_ask(self) -> bool:
        return bool(self.field or self.radio)


@dataclass(frozen=True)
class Alternatives:
    """Lines of which one at most can be chosen, as one question."""

    group: int
    asked: list[Asked]
    field: Any = None
    none: Any = None  # the radio that chooses none of them


def questions(
    job: Job,
    quote: Quote,
    told: Mapping[str, Any],
    sheet: Sheet,
    form: Any = None,
    yes: Collection[int] | None = None,
) -> list[Asked | Alternatives]:
    """Lines and alternatives in their order; with the form's radios, or with `yes`, the lines that were agreed."""
    rows = {row.pk: row for row in lines_of(quote)}
    titles = {line["id"]: line["title"] for line in told["lines"] if line["kind"] not in FIXED_KINDS}
    asking = _Asking(quote, told, sheet, titles, rows, _pictures(job, list(rows.values())), form, yes)
    groups = groups_of(told)
    found: list[Asked | Alternatives] = []
    for line in told["lines"]:
        group = line.get("either")
        if group in groups and groups[group][0] is not line:
            continue
        asked = [asking.about(each) for each in groups.get(group, [line])]
        found.append(_alternatives(group, asked, form) if len(asked) > 1 else asked[0])
    return found


def lines_of(quote: Quote) -> list[Line]:
    return list(quote.lines.asked().prefetch_related("findings").order_by("position", "pk"))


def flat(questions: Collection[Asked | Alternatives]) -> list[Asked]:
    """Every line, alternatives one by one."""
    return [
        asked for each in questions for asked in (each.asked if isinstance(each, Alternatives) else [each])
    ]


def agreed_in(quote: Quote) -> frozenset[int]:
    """The lines and branches that were said yes to."""
    return frozenset(Choice.objects.filter(decision__quote=quote, yes=True).values_list("line_id", flat=True))


@dataclass(frozen=True)
class _Asking:
    """What the questions of one page are made of: titles, rows and pictures by number; the form, or what was agreed."""

    quote: Quote
    told: Mapping[str, Any]
    sheet: Sheet
    titles: Mapping[int, str]
    rows: Mapping[int, Line]
    pictures: Mapping[int, list[Picture]]
    form: Any
    yes: Collection[int] | None

    def about(self, line: Mapping[str, Any]) -> Asked:
        pk, fixed, row = line["id"], line["kind"] in FIXED_KINDS, self.rows.get(line["id"])
        findings = list(row.findings.all()) if row else []
        return Asked(
            line={**line, "pk": pk, "is_fixed": fixed},
            reasons=_reasons(findings, line.get("findings", [])),
            pictures=[each for finding in findings for each in self.pictures.get(finding.pk, [])],
            trial=quote_tries.read(line, self.quote.currency, self.form, self.yes),
            tax_note=quote_sums.line_tax(self.quote, self.sheet.by_id[pk].tax),
            credited=self._is_credited(line),
            together=[self.titles[other] for other in line.get("requires", ()) if other in self.titles],
            field=_field(self.form, f"line-{pk}"),
            answer=None if fixed or self.yes is None else pk in self.yes,
            once=once_key() if self.form and not fixed else "",
        )

    def _is_credited(self, line: Mapping[str, Any]) -> bool:
        may_be = self.yes is None and line["kind"] == LineKind.ASSESSMENT
        return may_be and bool(self.told.get("credits_assessment"))


def _field(form: Any, name: str) -> Any:
    return form[name] if form and name in form.fields else None


def _alternatives(group: int, asked: list[Asked], form: Any) -> Alternatives:
    field = _field(form, f"either-{group}")
    if field is None:
        return Alternatives(group, asked)
    *radios, none = list(field)
    chosen = [replace(each, radio=radio) for each, radio in zip(asked, radios, strict=True)]
    return Alternatives(group, chosen, field, none)


def _reasons(findings: list[Finding], told: list[dict[str, Any]]) -> list[Reason]:
    """The evidence lists a line's findings in the order of their rows, and so do we."""
    return [
        Reason(
            pk=finding.pk,
            title=shown["title"],
            certainty=shown["certainty"],
            changed=finding.state != Finding.State.POSTED or finding.title != shown["title"],
        )
        for finding, shown in zip(findings, told, strict=False)
    ]


def _pictures(job: Job, lines: list[Line]) -> dict[int, list[Picture]]:
    titles = {finding.pk: finding.title for line in lines for finding in line.findings.all()}
    found: dict[int, list[Picture]] = {}
    for photo in job.photos.for_the_customer().filter(finding__in=titles).prefetch_related("marks"):
        whole = photos.picture_of(job, photo, title=titles[photo.finding_id])
        # A strip of it, to know it again by; its marks and its caption stand with the finding.
        found.setdefault(photo.finding_id, []).append(replace(whole, marked=None, caption=""))
    return found
