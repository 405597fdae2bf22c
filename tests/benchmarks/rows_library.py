"""The library's search: how often it finds the right entry, how often an offered check is right, and how long it takes."""

from collections.abc import Iterator

from jobs.library import entries
from tests.benchmarks.frame import Row, at_least, at_most, measured
from tests.benchmarks.library_search import speed, with_slips
from tests.jobs.library import asked


@measured
def finding_the_right_entry() -> Iterator[Row]:
    ours = asked.judge(asked.ours, asked.phrases("held_apart"))
    slips = asked.judge(asked.ours, with_slips("held_apart"))
    yield at_least("library search, mean reciprocal rank, held-apart phrases", ours.reciprocal_rank, "", 0.8)
    yield at_least(
        "library search, right entry in the first five, held-apart phrases", ours.first_five, "", 0.93
    )
    yield Row("library search, the same, misspelt", round(slips.first_five, 3), "", "told only", True)


@measured
def offering_a_check() -> Iterator[Row]:
    made = asked.judge_offers(asked.phrases("held_apart"), entries())
    yield at_least(
        "checks offered before posting that were right, held-apart phrases", made.precision, "", 0.9
    )
    yield Row("held-apart phrases with an offer", made.to, f"of {made.phrases}", "told only", True)


@measured
def how_long_a_search_takes() -> Iterator[Row]:
    answering, making = speed()
    yield at_most("library search, one query at 1,000 entries", answering, "ms", 20)
    yield Row("library search, making the index of 1,000 entries", round(making), "ms", "told only", True)
