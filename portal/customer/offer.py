"""The last quote of a job, as it stands for the customer: from the row and the evidence in it, without a query for its lines."""

from dataclasses import dataclass
from typing import Any

from django.utils import timezone

from jobs.evidence import content
from jobs.models import Job, Quote


@dataclass(frozen=True)
class Offer:
    """`state` is open, lapsed, answered or taken_back. `lines` are those of `jobs.evidence`, after an answer with `yes` put in."""

    quote: Quote
    state: str
    lines: list[dict[str, Any]]

    @property
    def agreed(self) -> list[dict[str, Any]]:
        return [line for line in self.lines if line.get("yes")]

    @property
    def declined(self) -> list[dict[str, Any]]:
        return [line for line in self.lines if line.get("yes") is False]


def last_sent(job: Job) -> Quote | None:
    """The newest quote that was ever sent, with its answer if it has one."""
    sent = job.quotes.exclude(state=Quote.State.DRAFT).select_related("decision")
    return sent.order_by("-n").first()


def state_of(quote: Quote) -> str:
    """An open quote whose last day has passed counts as lapsed, whether or not the night's sweep has been by."""
    if quote.state == Quote.State.OPEN and quote.valid_until and quote.valid_until < timezone.localdate():
        return "lapsed"
    return "taken_back" if quote.state == Quote.State.REPLACED else str(quote.state)


def read(job: Job, choices: list[tuple[int, bool]]) -> Offer | None:
    """`choices` are [line, yes] pairs of the answer, as the journal has them."""
    quote = last_sent(job)
    if quote is None:
        return None
    yes = dict(choices)
    lines = content(quote)["lines"]
    if quote.state == Quote.State.ANSWERED:
        lines = [line | {"yes": yes.get(line["id"])} for line in lines]
    return Offer(quote, state_of(quote), lines)
