"""What the first version wrote: quotes, answers and entries of a house from before tries, payments and records."""

from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from typing import Any
from unittest.mock import patch

from jobs import journal
from jobs.actions import quote, recording, working
from jobs.canonical import canonical
from jobs.models import Decision, Line, Quote

# What entries of a kind say now and did not say then.
SAID_SINCE = {
    "decided": {"adds_to", "highest", "deposit", "record", "ceiling", "holder"},
    "quote_sent": {"adds_to", "work_waits", "holder"},
    "quote_withdrawn": {"adds", "holder"},
    "quote_lapsed": {"holder"},
    "ready": {"holder", "due", "currency"},
    "sent_back": {"left_as", "left_note"},
    "nudged": {"thing", "tone", "way"},
}


def shown_then(sent: Quote) -> str:
    """Version 1 of what is shown."""
    return canonical(
        {
            "v": 1,
            "job": sent.job.ref,
            "item": sent.job.item.name,
            "quote": sent.n,
            "currency": sent.currency,
            "tax": {"mode": sent.tax_mode, "name": sent.tax_name, "rate_bp": sent.tax_rate_bp},
            "valid_until": sent.valid_until.isoformat() if sent.valid_until else None,
            "note": sent.note,
            "lines": [_line(line) for line in sent.lines.all()],
        }
    )


def _line(line: Line) -> dict[str, Any]:
    kept = ("kind", "need", "title", "why", "price", "months")
    return {"id": line.pk, **{name: getattr(line, name) for name in kept}, "findings": _findings(line)}


def _findings(line: Line) -> list[dict[str, Any]]:
    return [
        {
            "title": finding.title,
            "certainty": finding.certainty,
            "digest": [wording.digest for wording in finding.wordings.all()][-1:],
        }
        for finding in line.findings.all()
    ]


def nothing(*_: object) -> None:
    pass


@contextmanager
def the_first_version() -> Iterator[None]:
    """Inside, the actions write as the first version did; and things went home without a payment being noted."""
    append, create = journal.append, Decision.objects.create

    def append_then(job: Any, kind: Any, by: Any, data: Any = None) -> Any:
        since = SAID_SINCE.get(kind.value, set())
        return append(
            job, kind, by, {name: value for name, value in (data or {}).items() if name not in since}
        )

    def create_then(**told: Any) -> Decision:
        none = dict.fromkeys(("lowest", "highest", "ceiling")) | {"record": "", "record_hash": ""}
        return create(**told | none)

    with ExitStack() as changed:
        for where, name, then in (
            (quote, "shown_to_the_customer", shown_then),
            (journal, "append", append_then),
            (Decision.objects, "create", create_then),
            (recording, "_trace", nothing),
            (working, "_must_be_settled", nothing),
        ):
            changed.enter_context(patch.object(where, name, then))
        yield
