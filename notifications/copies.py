"""Copies that go with letters: of an answer the same PDF, byte for byte, to both sides; of a warranty its card.

It is made before the letters are written, outside their transaction, and a letter that has to go without says so. A letter carries the
copy whose fingerprint stands in its text, so that what is printed and what is attached cannot differ.
"""

import logging
from dataclasses import dataclass

from django.utils.translation import override

from jobs import warranty_paper
from jobs.actions.papering import answer_paper, kept_card, kept_paper, warranty_card
from jobs.answer_paper import file_name
from jobs.models import Decision, Entry, Kind, Paper
from notifications.models import Letter

log = logging.getLogger(__name__)

LARGEST = 2_000_000  # bytes; base 64 makes a third more of it, and many mail servers stop at ten million (common practice, no source)


@dataclass(frozen=True)
class Copy:
    """A document to attach."""

    paper: Paper
    name: str


def prepare(entry: Entry) -> None:
    """Make the copy that the letters about this entry carry. What goes wrong is logged and stops no letter."""
    try:
        _make(entry)
    except Exception:  # a document that cannot be set must not hold up the letter that tells of it
        log.exception("the copy for entry %s could not be made", entry.pk)


def copy_for(entry: Entry) -> Copy | None:
    """The copy that a letter about this entry can carry: None where there is none, or where it is too large for a letter."""
    copy = _kept(entry)
    return copy if copy and len(copy.paper.body) <= LARGEST else None


def carried_by(letter: Letter, text: str = "") -> Copy | None:
    """The copy that a letter says it carries. `text`: the words of the message that it stands in, where they are another letter's."""
    copy = copy_for(letter.entry)
    return copy if copy and copy.paper.sha256 in (text or letter.text) else None


def _make(entry: Entry) -> None:
    if entry.kind == Kind.WARRANTY:
        warranty_card(entry.job.warranty)
    elif decision := _decision(entry):
        answer_paper(decision)


def _kept(entry: Entry) -> Copy | None:
    with override(entry.job.customer.language):  # the same name for both sides
        if entry.kind == Kind.WARRANTY:
            card = kept_card(entry.job)
            return Copy(card, warranty_paper.file_name(entry.job.warranty)) if card else None
        decision = _decision(entry)
        paper = kept_paper(decision) if decision else None
        if decision is None or paper is None:
            return None
        decision.quote.job = entry.job
        return Copy(paper, file_name(decision.quote))


def _decision(entry: Entry) -> Decision | None:
    if entry.kind != Kind.DECIDED:
        return None
    told = Decision.objects.filter(quote__job=entry.job_id, quote__n=entry.data["quote"])
    return told.select_related("quote__job__customer", "quote__job__item").first()
