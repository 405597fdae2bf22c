"""The copy of a quote with its answer, put together for `jobs.papers`: from what was shown and recorded, never from rows that change.

The PDF carries the two texts whose SHA-256 are printed in it, byte for byte as they were hashed: shown.json, and record.json once it
is answered. Each can be taken out and hashed by anybody.
"""

import json
from collections.abc import Callable, Collection, Iterable
from datetime import datetime
from typing import Any

from django.conf import settings
from django.urls import reverse
from django.utils.translation import gettext as _

from jobs import evidence, papers
from jobs.adding_up import Reckoned
from jobs.evidence import reckon_answer
from jobs.letterhead import house_name, letterhead, pdf_name
from jobs.models import Decision, Entry, Kind, Quote, Workshop
from jobs.speaking import speaking
from jobs.words import FIXED_KINDS

Data = dict[str, Any]


def pdf_of_answer(decision: Decision, made_at: datetime) -> bytes:
    """The answered quote as PDF, in the customer's language and the workshop's time. Raises jobs.papers.CannotSet."""
    record = {"record": decision.record} if decision.record else {}
    return _set(decision.quote, lambda: told_of_answer(decision, made_at), shown=decision.shown, **record)


def pdf_of_offer(quote: Quote, made_at: datetime, terms: Callable[[], Iterable[str]] = tuple) -> bytes:
    """A quote that waits for an answer as PDF; nothing of it is kept. `terms` is asked in the customer's language.

    Raises jobs.papers.CannotSet.
    """
    return _set(quote, lambda: told_of_offer(quote, made_at, terms()), shown=quote.shown)


def file_name(quote: Quote) -> str:
    """Tidewater Camera Works 4TM7-QKR quote 2.pdf"""
    about = {"house": house_name(), "ref": quote.job.shown_ref, "n": quote.n}
    return pdf_name(_("%(house)s %(ref)s quote %(n)s") % about)


def entry_of(decision: Decision) -> Entry | None:
    """The journal's entry about an answer."""
    told = Entry.objects.filter(job=decision.quote.job_id, kind=Kind.DECIDED).order_by("seq")
    return next((entry for entry in told if entry.data["quote"] == decision.quote.n), None)


def told_of_answer(decision: Decision, made_at: datetime) -> Data:
    """What `jobs.papers.answering.content` asks for."""
    quote = decision.quote
    record: Data = json.loads(decision.record) if decision.record else {}
    yes = frozenset(decision.choices.filter(yes=True).values_list("line_id", flat=True))
    shown: Data = json.loads(decision.shown)
    sums = reckon_answer(quote, evidence.sheet_of(shown), yes)
    sentence, *terms = decision.sentence.split("\n")
    entry = entry_of(decision)
    return _common(quote, shown, sums, yes, made_at) | {
        "ceiling": decision.ceiling,
        "chance": chance_words(sums, decision.ceiling),
        "decision": {
            "name": decision.name,
            "at": decision.at.isoformat(),
            "way": decision.way,
            "noted_by": decision.noted_by,
            "sentence": sentence,
            "button": record.get("button", ""),
            "code_used": record.get("code_used", False),
            "yes_to_nothing": not decision.agreed_anything,
        },
        "terms": terms,
        "shown_hash": decision.shown_hash,
        "record_hash": decision.record_hash,
        "journal_hash": entry.hash if entry else "",
        "journal_seq": entry.seq if entry else None,
    }


def told_of_offer(quote: Quote, made_at: datetime, terms: Iterable[str] = ()) -> Data:
    """The same for a quote that waits: what it comes to with all that is needed, as the page begins."""
    shown = evidence.content(quote)
    sheet = evidence.sheet_of(shown)
    sums = reckon_answer(quote, sheet, sheet.needed)
    return _common(quote, shown, sums, None, made_at) | {
        "decision": None,
        "terms": list(terms),
        "shown_hash": quote.shown_hash,
    }


def chance_words(sums: Reckoned, ceiling: int | None) -> str:
    """How likely it stays within a ceiling; "" where that is certain or nothing is tried. Never rounded up to certainty."""
    if ceiling is None or not sums.spread.parts or ceiling >= sums.highest:
        return ""
    of_ten = min(9, sums.spread.tenths_within(ceiling))
    return _("about %(n)s in 10") % {"n": of_ten} if of_ten else _("less than 1 in 10")


def _common(
    quote: Quote, shown: Data, sums: Reckoned, yes: Collection[int] | None, made_at: datetime
) -> Data:
    titles = {line["id"]: line["title"] for line in shown["lines"]}
    return letterhead(quote.job, made_at) | {
        "item": shown["item"],
        "quote_n": shown["quote"],
        "adds_to": shown.get("adds_to"),
        "replaces": shown.get("replaces"),
        "currency": shown["currency"],
        "tax": {"mode": shown["tax"]["mode"], "name": shown["tax"]["name"], "groups": _groups(sums)},
        "lines": [_line(line, titles, yes) for line in shown["lines"]],
        "credit": sums.credit,
        "total": {"net": sums.total.net, "tax": sums.total.tax, "gross": sums.total.gross},
        "lowest": sums.lowest,
        "expected": sums.expected,
        "highest": sums.highest,
        "deposit": shown.get("deposit", 0),
        "valid_until": shown["valid_until"],
        "check_url": f"{settings.PUBLIC_BASE_URL}{reverse('check_document')}",
    }


def _groups(sums: Reckoned) -> list[Data]:
    return [
        {
            "rate_bp": group.tax.rate_bp,
            "category": group.tax.category,
            "net": group.net,
            "due": group.due,
            "gross": group.gross,
        }
        for group in sums.total.groups
        if group.due
    ]


def _line(line: Data, titles: dict[int, str], yes: Collection[int] | None) -> Data:
    fixed = line["kind"] in FIXED_KINDS
    return {
        **line,
        "requires": [titles[pk] for pk in line.get("requires", ()) if pk in titles],
        "yes": None if fixed or yes is None else line["id"] in yes,
        "outcomes": [_outcome(outcome, line, yes) for outcome in line.get("outcomes", ())],
    }


def _outcome(outcome: Data, line: Data, yes: Collection[int] | None) -> Data:
    seen = sum(each["seen"] for each in line["outcomes"])
    return {
        "title": outcome["title"],
        "share_words": _("%(n)s of the last %(all)s") % {"n": outcome["seen"], "all": seen} if seen else "",
        "stops": outcome["stops"],
        "follow_ons": [
            each | {"yes": None if yes is None else each["id"] in yes} for each in outcome["follow_ons"]
        ],
    }


def _set(quote: Quote, tell: Callable[[], Data], **evidence: str) -> bytes:
    language = quote.job.customer.language
    with speaking(language, Workshop.objects.current()):
        return papers.answer(
            tell(), language=language, **{name: text.encode() for name, text in evidence.items()}
        )
