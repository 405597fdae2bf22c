"""A quote's sums: what try-first lines can come to, and what the page of an answer costs."""

from collections.abc import Iterator
from random import Random

from django.db import connection
from django.test.utils import CaptureQueriesContext

from jobs.actions.quote import LineDraft, OutcomeDraft, draft_quote, put_line, send_quote
from jobs.models import Job, Quote, Staff, Workshop
from jobs.quoting import Amount, Tax
from jobs.trying import Way, spread
from jobs.words import Stage, TaxMode
from tests.benchmarks.frame import Row, at_most, measured, milliseconds
from tests.benchmarks.rows_customer import visitor
from tests.cast import Cast, make_cast

FIFTH, TWENTIETH = Tax("S", 2000), Tax("S", 500)


def try_first(number: int, taxes: list[Tax]) -> list[list[Way]]:
    """Lines of two, three and four ways in turn, at awkward prices between 10 and 150 pounds; the first way adds nothing."""
    dice = Random(12)

    def way(tax: Tax) -> Way:
        return Way(dice.randrange(1, 40), (Amount(dice.randrange(1_013, 15_013), tax),))

    return [[Way(20), *(way(taxes[n % len(taxes)]) for _ in range(1 + n % 3))] for n in range(number)]


@measured
def what_a_quote_can_come_to() -> Iterator[Row]:
    fixed = [Amount(14_250, FIFTH)]

    def taken(lines: list[list[Way]]) -> float:
        return milliseconds(lambda: spread(fixed, lines, TaxMode.ADDED).chance_within(60_000))

    yield at_most("12 try-first lines, tax added", taken(try_first(12, [FIFTH])), "ms", 50)
    yield at_most("the same at two rates of tax", taken(try_first(12, [FIFTH, TWENTIETH])), "ms", 50)
    sixty = taken(try_first(60, [FIFTH]))
    yield Row("60 try-first lines, tax added", round(sixty, 1), "ms", "told only", True)


@measured
def the_answer_page() -> Iterator[Row]:
    """A toggle as htmx sends it, and the whole page, of a quote with sixty lines, twelve of them tried first."""
    cast = the_cast()
    job = cast.job_at(Stage.EXAMINING)
    sent = sixty_lines(cast, job)
    client, typed = visitor(job), answer_to_all(sent)
    page, total = f"/my/{job.ref}/quote/", f"/my/{job.ref}/quote/total/"

    def toggle() -> None:
        assert client.post(total, typed, headers={"HX-Request": "true"}).status_code == 200

    yield at_most("a toggle on a quote of 60 lines", milliseconds(toggle), "ms", 60)
    with CaptureQueriesContext(connection) as caught:
        toggle()
    yield at_most("the same, queries", len(caught), "queries", 8)
    yield at_most(
        "a quote of 60 lines, the whole page", milliseconds(lambda: client.get(page), times=10), "ms", 500
    )


def the_cast() -> Cast:
    """Rows that were taken before have opened the workshop already."""
    house = Workshop.objects.current()
    if house is None:
        return make_cast()
    hester, jory = (Staff.objects.get(username=name) for name in ("hester", "jory"))
    return Cast(house, hester, jory)


def sixty_lines(cast: Cast, job: Job) -> Quote:
    draft = draft_quote(job)
    found = cast.post_finding(job)
    for n in range(60):
        gone = OutcomeDraft(
            "It has gone", 1, follow_ons=[LineDraft("part", "needed", f"Part {n}", 2_013 + n)]
        )
        outcomes = [] if n % 5 else [OutcomeDraft("It wipes off", 3), gone]
        line = LineDraft("work", "advised", f"Line {n}", 513 + n, findings=[found], outcomes=outcomes)
        put_line(draft, line)
    return send_quote(draft, cast.technician)


def answer_to_all(sent: Quote) -> dict[str, object]:
    """Yes to every line and every branch."""
    typed: dict[str, object] = {"quote": sent.pk, "shown_hash": sent.shown_hash, "ceiling": "600"}
    for line in sent.lines.asked():
        typed[f"line-{line.pk}"] = "yes"
        for outcome in line.outcomes.all():
            if branch := outcome.follow_ons.first():
                typed[f"turn-{outcome.pk}"] = str(branch.pk)
    return typed
