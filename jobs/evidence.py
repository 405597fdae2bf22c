"""Exactly what a customer is shown when they answer a quote, as canonical JSON.

One function builds it and the page renders from it, so that what was hashed is what was on the screen.
"""

import json
from collections.abc import Iterable
from typing import Any

from jobs.canonical import canonical
from jobs.models import Line, Quote
from jobs.quoting import Total, total
from jobs.words import TaxMode

VERSION = 1


def shown_to_the_customer(quote: Quote) -> str:
    """Canonical JSON of a quote with its lines and the findings they answer (title, certainty, digest of their wording)."""
    return canonical(
        {
            "v": VERSION,
            "job": quote.job.ref,
            "item": quote.job.item.name,
            "quote": quote.n,
            "currency": quote.currency,
            "tax": {"mode": quote.tax_mode, "name": quote.tax_name, "rate_bp": quote.tax_rate_bp},
            "valid_until": quote.valid_until.isoformat() if quote.valid_until else None,
            "note": quote.note,
            "lines": [_line(line) for line in quote.lines.prefetch_related("findings__wordings")],
        }
    )


def _line(line: Line) -> dict[str, Any]:
    return {
        "id": line.pk,
        "kind": line.kind,
        "need": line.need,
        "title": line.title,
        "why": line.why,
        "price": line.price,
        "months": line.months,
        "findings": [
            {
                "title": finding.title,
                "certainty": finding.certainty,
                "digest": [wording.digest for wording in finding.wordings.all()][-1:],
            }
            for finding in line.findings.all()
        ],
    }


def content(quote: Quote) -> dict[str, Any]:
    """What was shown, read back."""
    told: dict[str, Any] = json.loads(quote.shown)
    return told


def total_of(quote: Quote, lines: Iterable[Line]) -> Total:
    """What these lines of the quote come to, in minor units: the one sum that page, letter and evidence share."""
    return total((line.price for line in lines), TaxMode(quote.tax_mode), quote.tax_rate_bp)
