"""The check that the evidence is whole: each job's journal, and every answer and document that the journal tells of.

The chain holds the entries; each entry about an answer holds the SHA-256 of the quote as it was shown and of the record; the record
holds the sums, the choices, the page's SHA-256 and salted hashes of what is erased in time. So whoever changes any of it has to
change the last entry's hash too, which stands in both sides' letters. Answers from before there were records are checked as far as
they go. Reads only.
"""

import json
from collections.abc import Iterator
from datetime import UTC
from hashlib import sha256
from typing import Any
from unicodedata import normalize

from jobs import evidence, journal
from jobs.canonical import digest, salted
from jobs.journal import Break
from jobs.models import Decision, Entry, Job, Kind, Paper, Quote, Trace

Data = dict[str, Any]
TOLD_OF = (Kind.QUOTE_SENT, Kind.DECIDED, Kind.PAPER)
COLUMNS = ("name", "noted_by", "sentence", "way", "ceiling", "net", "tax", "gross", "lowest", "highest")
IN_THE_ENTRY = ("name", "sentence", "way", "ceiling", "gross", "highest")


def verify(job: Job) -> Break | None:
    """The first place where a job's evidence is not what it was, the chain before all else; None when it is whole."""
    return journal.verify(job) or next(_breaks(job), None)


def verify_all() -> Iterator[Break]:
    for job in Job.objects.order_by("pk").iterator():
        if found := verify(job):
            yield found


def _breaks(job: Job) -> Iterator[Break]:
    entries = list(job.entries.filter(kind__in=TOLD_OF).order_by("seq"))
    decisions = {decision.quote.n: decision for decision in _decisions(job)}
    for entry in entries:
        if entry.kind == Kind.QUOTE_SENT:
            whys = _offer_faults(job, entry)
        elif entry.kind == Kind.PAPER:
            whys = _named_paper_faults(job, entry)
        else:
            whys = _answer_faults(decisions.pop(entry.data["quote"], None), entry)
        for why in whys:
            yield Break(job.shown_ref, entry.seq, why)
    for n in decisions:
        yield Break(job.shown_ref, job.last_seq, f"quote {n}: the journal knows nothing of its answer")
    for why in _paper_faults(job, entries):
        yield Break(job.shown_ref, job.last_seq, why)


def _decisions(job: Job) -> Iterator[Decision]:
    rows = Decision.objects.filter(quote__job=job).order_by("quote__n")
    yield from rows.select_related("quote__adds_to", "trace__link").prefetch_related("choices")


# --- quotes and answers ---------------------------------------------------------------------------------------------


def _offer_faults(job: Job, entry: Entry) -> Iterator[str]:
    n = entry.data["quote"]
    quote = Quote.objects.filter(job=job, n=n).first()
    if quote is None:
        yield f"quote {n}: it is not there"
    elif quote.shown_hash != entry.data.get("hash", quote.shown_hash):
        yield f"quote {n}: its fingerprint is not the one in the journal"
    elif digest(quote.shown) != quote.shown_hash:
        yield f"quote {n}: what it says does not match its fingerprint"


def _answer_faults(decision: Decision | None, entry: Entry) -> Iterator[str]:
    """What is wrong with an answer, in the order in which one thing stands on another."""
    n = entry.data["quote"]
    if decision is None:
        yield f"quote {n}: its answer is not there"
        return
    for why in _each_fault(decision, entry.data):
        yield f"quote {n}: {why}"


def _each_fault(decision: Decision, told: Data) -> Iterator[str]:
    if decision.shown_hash != told["hash"]:
        yield "the fingerprint of what was shown is not the one in the journal"
    if digest(decision.shown) != decision.shown_hash:
        yield "what was shown does not match its fingerprint"
    if decision.record_hash != told.get("record", ""):
        yield "the record's fingerprint is not the one in the journal"
    if decision.record or decision.record_hash:
        if digest(decision.record) != decision.record_hash:
            yield "the record does not match its fingerprint"
    record: Data = json.loads(decision.record) if decision.record else {}
    yield from _choice_faults(decision, told, record)
    yield from _column_faults(decision, told, record)
    yield from _sum_faults(decision, record)
    if record:
        yield from _page_faults(decision, record)
        yield from _trace_faults(decision, record)


def _choice_faults(decision: Decision, told: Data, record: Data) -> Iterator[str]:
    rows = sorted([choice.line_id, choice.yes] for choice in decision.choices.all())
    if rows != sorted(told.get("choices", rows)):
        yield "the choices are not those in the journal"
    if record and rows != sorted(record["choices"]):
        yield "the choices are not those in the record"


def _column_faults(decision: Decision, told: Data, record: Data) -> Iterator[str]:
    for name in IN_THE_ENTRY:
        if name in told and _plain(getattr(decision, name)) != told[name]:
            yield f"“{name}” is not what the journal says"
    if not record:
        return
    if record["shown"] != decision.shown_hash:
        yield "the record is about another quote than the one shown"
    for name in COLUMNS:
        if _plain(getattr(decision, name)) != record[name]:
            yield f"“{name}” is not what the record says"
    if decision.at.astimezone(UTC).isoformat() != record["at"]:
        yield "“at” is not what the record says"


def _sum_faults(decision: Decision, record: Data) -> Iterator[str]:
    """What was shown and what was chosen must add up to what was noted."""
    shown: Data = json.loads(decision.shown)
    yes = [choice.line_id for choice in decision.choices.all() if choice.yes]
    sums = evidence.reckon_answer(decision.quote, evidence.sheet_of(shown), yes)
    reckoned = {"net": sums.total.net, "tax": sums.total.tax, "gross": sums.total.gross}
    if record:
        reckoned |= {"lowest": sums.lowest, "expected": sums.expected, "highest": sums.highest}
    for name, minor in reckoned.items():
        noted = record[name] if record else getattr(decision, name)
        if noted != minor:
            yield f"“{name}” is {noted}, and the choices add up to {minor}"


def _page_faults(decision: Decision, record: Data) -> Iterator[str]:
    page = Paper.objects.filter(decision=decision, kind=Paper.Kind.PAGE).defer("body").first()
    if (page.sha256 if page else "") != record["page"]:
        missing = "is not there" if page is None else "is not the one in the record"
        yield f"the page as it stood {missing}"


def _trace_faults(decision: Decision, record: Data) -> Iterator[str]:
    """Where it is not erased yet, what stands beside the record is what its salted hashes were made of."""
    trace: Trace | None = getattr(decision, "trace", None)
    if trace is None or not trace.salt:
        return
    if salted(trace.salt, trace.address) != record["address"]:
        yield "the address is not the one in the record"
    if salted(trace.salt, trace.agent) != record["agent"]:
        yield "the browser is not the one in the record"
    if trace.link and trace.link.pk != record["link"]["id"]:
        yield "the private link is not the one in the record"
    elif trace.link and salted(trace.salt, trace.link.made_for) != record["link"]["made_for"]:
        yield "the private link's address is not the one in the record"


# --- documents ------------------------------------------------------------------------------------------------------


def _named_paper_faults(job: Job, entry: Entry) -> Iterator[str]:
    if not job.papers.filter(kind=entry.data["kind"], sha256=entry.data["sha256"]).exists():
        yield f"the {entry.data['kind']} paper {entry.data['sha256'][:16]} is not there"


def _paper_faults(job: Job, entries: list[Entry]) -> Iterator[str]:
    named = {entry.data["sha256"] for entry in entries if entry.kind == Kind.PAPER}
    for paper in job.papers.order_by("pk").iterator(chunk_size=10):
        if sha256(bytes(paper.body)).hexdigest() != paper.sha256:
            yield f"the {paper.kind} paper {paper.sha256[:16]} does not match its fingerprint"
        if paper.kind != Paper.Kind.PAGE and paper.sha256 not in named:  # a page stands in its record
            yield f"the journal knows nothing of the {paper.kind} paper {paper.sha256[:16]}"


def _plain(value: Any) -> Any:
    """As canonical JSON has it."""
    return normalize("NFC", str(value)) if isinstance(value, str) else value
