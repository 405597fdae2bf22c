"""A quote's sums: what try-first lines can come to."""

from collections.abc import Iterator
from random import Random

from jobs.quoting import Amount, Tax
from jobs.trying import Way, spread
from jobs.words import TaxMode
from tests.benchmarks.frame import Row, at_most, measured, milliseconds

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
