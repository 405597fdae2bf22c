"""The quotes of a job, as they stand for the customer: from the rows and the evidence in them, without a query for their lines."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from django.db.models import QuerySet
from django.utils import timezone

from jobs.evidence import content
from jobs.models import Entry, Job, Kind, Quote


@dataclass(frozen=True)
class Offer:
    """`state` is open, lapsed, answered or taken_back. `lines` are those of `jobs.evidence`, after an answer with `yes` put in.

    `decided` is what the journal says of the answer; `before` what was answered before it, oldest first.
    """

    quote: Quote
    state: str
    lines: list[dict[str, Any]]
    decided: dict[str, Any] = field(default_factory=dict)
    before: "list[Offer]" = field(default_factory=list)

    @property
    def agreed(self) -> list[dict[str, Any]]:
        return [line for line in self.lines if line.get("yes")]

    @property
    def declined(self) -> list[dict[str, Any]]:
        return [line for line in self.lines if line.get("yes") is False]

    @property
    def branches(self) -> list[dict[str, Any]]:
        """What was agreed beforehand, should a try turn out so."""
        yes = {line for line, wanted in self.decided.get("choices", []) if wanted}
        turns = [turn for line in self.agreed for turn in line.get("outcomes", ())]
        return [each for turn in turns for each in turn["follow_ons"] if each["id"] in yes]

    @property
    def may_come_to(self) -> int:
        """The most that the answer can come to without asking again, in minor units: never above their ceiling. 0 where nothing is open."""
        highest = self.decided.get("highest") or 0
        most: int = min(highest, self.decided.get("ceiling") or highest)
        return most if most > self.decided.get("gross", 0) else 0

    @property
    def waits(self) -> bool:
        """One thing more, beside what is agreed, waits for an answer."""
        return self.state == "open" and self.quote.is_supplementary


def sent(job: Job) -> QuerySet[Quote]:
    """Every quote that was ever sent, newest first."""
    return job.quotes.exclude(state=Quote.State.DRAFT).order_by("-n")


def last_sent(job: Job) -> Quote | None:
    """The newest quote that was ever sent, with its answer if it has one. An open one is always the newest."""
    return sent(job).select_related("decision", "replaces", "adds_to").first()


def state_of(quote: Quote) -> str:
    """An open quote whose last day has passed counts as lapsed, whether or not the night's sweep has been by."""
    if quote.state == Quote.State.OPEN and quote.valid_until and quote.valid_until < timezone.localdate():
        return "lapsed"
    return "taken_back" if quote.state == Quote.State.REPLACED else str(quote.state)


def read(job: Job, entries: Iterable[Entry]) -> Offer | None:
    """`entries`: the job's journal, which says what was answered to each quote."""
    quotes = list(sent(job))
    if not quotes:
        return None
    answers = {
        entry.data["quote"]: _answered(entry.data) | {"at": entry.at}
        for entry in entries
        if entry.kind == Kind.DECIDED
    }
    last, *others = (_offer(quote, answers.get(quote.n, {})) for quote in quotes)
    before = [each for each in reversed(others) if each.state == "answered"]
    return Offer(last.quote, last.state, last.lines, last.decided, before)


def _answered(data: dict[str, Any]) -> dict[str, Any]:
    """What an entry says of an answer. The first ones, from before there were tries, name one sum only."""
    return {"highest": data["gross"], "ceiling": None} | data


def _offer(quote: Quote, decided: dict[str, Any]) -> Offer:
    yes = dict(decided.get("choices", []))
    lines = content(quote)["lines"]
    if quote.state == Quote.State.ANSWERED:
        lines = [line | {"yes": yes.get(line["id"])} for line in lines]
    return Offer(quote, state_of(quote), lines, decided)
