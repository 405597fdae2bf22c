"""The quotes of a job as its page at the bench shows them: what waits or is being written, and what was agreed before."""

from collections.abc import Mapping
from dataclasses import dataclass

from jobs.adding_up import Reckoned, reckon
from jobs.convolving import TooMany
from jobs.evidence import reckon_answer, sheet
from jobs.models import Job, Line, Quote
from portal.bench.drafted import Row, Sums, rows, sums

SHOWN = (Quote.State.OPEN, Quote.State.DRAFT, Quote.State.ANSWERED)


@dataclass(frozen=True)
class Offer:
    """A quote with its lines, each with its answer (None while there is none), and its sums: of what was agreed, or of all.

    `sums` is None where a draft has more tries than can be added up.
    """

    quote: Quote
    lines: list[Row]
    sums: Sums | None

    @property
    def tax_added(self) -> bool:
        return self.quote.tax_mode == "added"


def offers(job: Job) -> list[Offer]:
    """Every quote that stands, the newest first; and the newest of all, whatever became of it."""
    found = list(
        job.quotes.select_related("decision", "job__item", "replaces", "adds_to")
        .prefetch_related(
            "lines__choice", "lines__findings", "lines__requires", "lines__outcomes__follow_ons__choice"
        )
        .order_by("-n")
    )
    return [_offer(quote) for place, quote in enumerate(found) if place == 0 or quote.state in SHOWN]


def _offer(quote: Quote) -> Offer:
    every = list(quote.lines.all())
    answered = quote.state == Quote.State.ANSWERED
    answers = {line.pk: line.choice.yes for line in every} if answered else {}
    asked = [line for line in every if line.outcome_id is None]
    return Offer(quote, rows(quote, asked, answers), _sums(quote, every, answers))


def _sums(quote: Quote, lines: list[Line], answers: Mapping[int, bool]) -> Sums | None:
    try:
        return sums(quote, _reckoned(quote, answers)) if lines else None
    except TooMany:
        return None


def _reckoned(quote: Quote, answers: Mapping[int, bool]) -> Reckoned:
    numbers = sheet(quote)
    if answers:
        return reckon_answer(quote, numbers, {pk for pk, yes in answers.items() if yes})
    return reckon(numbers, numbers.everything)
