"""Exactly what a customer is shown when they answer a quote, and exactly what is noted of their answer, as canonical JSON.

`told` gathers a quote from its rows; `shown_to_the_customer` is its canonical text, kept when the quote is sent. Page, letter, sum and
hash all read that text again (`content`, `sheet`), so that what was hashed is what was on the screen.
"""

import json
from collections.abc import Collection, Iterable
from typing import Any

from jobs.adding_up import Item, Reckoned, Sheet, Turn, reckon, tidy
from jobs.canonical import canonical
from jobs.models import Line, Outcome, Photo, Quote
from jobs.quoting import Tax
from jobs.words import TaxCategory, TaxMode

# 2: tax, time, alternatives and outcomes on each line. Texts of version 1 are still read.
VERSION = 2
RECORD_VERSION = 1


def shown_to_the_customer(quote: Quote) -> str:
    """Canonical JSON of a quote with its lines and the findings they answer (title, certainty, digests of wording and photographs)."""
    return canonical(told(quote))


def told(quote: Quote) -> dict[str, Any]:
    """What a quote says, read from its rows: five queries however many lines it has."""
    lines = list(
        quote.lines.prefetch_related("findings__wordings", "outcomes", "requires").order_by("position", "pk")
    )
    photos = _photos(lines)
    return {
        "v": VERSION,
        "job": quote.job.ref,
        "item": quote.job.item.name,
        "quote": quote.n,
        "replaces": quote.replaces.n if quote.replaces else None,
        "adds_to": quote.adds_to.n if quote.adds_to else None,
        "work_waits": quote.work_waits,
        "currency": quote.currency,
        "tax": {"mode": quote.tax_mode, "name": quote.tax_name, "rate_bp": quote.tax_rate_bp},
        "valid_until": quote.valid_until.isoformat() if quote.valid_until else None,
        "deposit": quote.deposit,
        "credits_assessment": quote.credits_assessment,
        "if_declined": {"as": quote.if_declined, "note": quote.if_declined_note},
        "note": quote.note,
        "lines": [_line(line, lines, photos) for line in lines if line.outcome_id is None],
    }


def _line(line: Line, lines: list[Line], photos: dict[int, list[str]]) -> dict[str, Any]:
    return {
        "id": line.pk,
        "kind": line.kind,
        "need": line.need,
        "title": line.title,
        "why": line.why,
        "price": line.price,
        "least": line.least,
        "up_to": line.up_to,
        "minutes": line.minutes,
        "per_hour": line.per_hour,
        "tax": {"category": line.tax_category, "rate_bp": line.tax_rate_bp},
        "months": line.months,
        "mechanism": line.mechanism,
        "requires": sorted(each.pk for each in line.requires.all()),
        "either": line.either,
        "same_as": line.copied_from_id,
        "findings": [
            {
                "title": finding.title,
                "certainty": finding.certainty,
                "digest": [wording.digest for wording in finding.wordings.all()][-1:],
                "photos": photos.get(finding.pk, []),
            }
            for finding in line.findings.all()
        ],
        "outcomes": [_outcome(outcome, lines, photos) for outcome in line.outcomes.all()],
    }


def _outcome(outcome: Outcome, lines: list[Line], photos: dict[int, list[str]]) -> dict[str, Any]:
    return {
        "id": outcome.pk,
        "key": outcome.key,
        "title": outcome.title,
        "weight": outcome.weight,
        "seen": outcome.seen,
        "stops": outcome.stops,
        "follow_ons": [_line(each, lines, photos) for each in lines if each.outcome_id == outcome.pk],
    }


def _photos(lines: list[Line]) -> dict[int, list[str]]:
    """Digests of the photographs beside each finding: the stored file of the widest size bears its own SHA-256 as its name."""
    wanted = {finding.pk for line in lines for finding in line.findings.all()}
    found: dict[int, list[str]] = {}
    if wanted:
        shown = Photo.objects.for_the_customer().filter(finding__in=wanted).order_by("added_at", "pk")
        for finding, sizes in shown.values_list("finding", "sizes"):
            if sizes:
                widest = sizes[max(sizes, key=int)]
                found.setdefault(finding, []).append(widest.rpartition("/")[2].partition(".")[0])
    return found


def content(quote: Quote) -> dict[str, Any]:
    """What was shown, read back; of a draft, what would be shown."""
    if not quote.shown:
        return told(quote)
    shown: dict[str, Any] = json.loads(quote.shown)
    return shown


def sheet(quote: Quote) -> Sheet:
    return sheet_of(content(quote))


def sheet_of(shown: dict[str, Any]) -> Sheet:
    """The numbers of what was shown. Version 1 had one rate for all lines and none of the rest."""
    usual = shown["tax"]["rate_bp"]
    return Sheet(
        mode=TaxMode(shown["tax"]["mode"]),
        items=tuple(_item(line, usual) for line in shown["lines"]),
        credits_assessment=shown.get("credits_assessment", False),
    )


def _item(line: dict[str, Any], usual: int) -> Item:
    tax = line.get("tax", {"category": TaxCategory.STANDARD.value, "rate_bp": usual})
    return Item(
        id=line["id"],
        kind=line["kind"],
        need=line["need"],
        title=line["title"],
        price=line["price"],
        least=line.get("least", 0) if line.get("up_to") else line["price"],
        tax=Tax(tax["category"], tax["rate_bp"]),
        up_to=line.get("up_to", False),
        requires=frozenset(line.get("requires", ())),
        either=line.get("either"),
        turns=tuple(_turn(outcome, usual) for outcome in line.get("outcomes", ())),
    )


def _turn(outcome: dict[str, Any], usual: int) -> Turn:
    return Turn(
        id=outcome["id"],
        title=outcome["title"],
        weight=outcome["weight"],
        seen=outcome["seen"],
        stops=outcome["stops"],
        follow_ons=tuple(_item(each, usual) for each in outcome["follow_ons"]),
    )


def reckon_answer(quote: Quote, numbers: Sheet, yes: Collection[int]) -> Reckoned:
    """What an answer comes to: the one sum that page, letter and evidence share. `numbers`: the quote's sheet, where it is read already.

    Nothing agreed of a supplementary quote costs nothing, not even what comes with it.
    """
    wanted = tidy(numbers, yes)
    agreed = any(item.id in wanted and not item.is_fixed for item in numbers.items)
    if quote.is_supplementary and not agreed:
        return reckon(Sheet(numbers.mode, ()), ())
    return reckon(numbers, wanted)


def extremes(quote: Quote, lines: Iterable[Line]) -> tuple[int, int]:
    """For lists: gross of what is needed, and of everything, from `lines` at hand without another query; no branches."""
    rows = [line for line in lines if line.outcome_id is None]
    flat = Sheet(TaxMode(quote.tax_mode), tuple(_flat(line) for line in rows), quote.credits_assessment)
    least, most = (reckon(flat, yes).total for yes in (flat.needed, flat.everything))
    return least.gross, most.gross


def _flat(line: Line) -> Item:
    tax = Tax(line.tax_category, line.tax_rate_bp)
    return Item(line.pk, line.kind, line.need, line.title, line.price, line.price, tax, either=line.either)
