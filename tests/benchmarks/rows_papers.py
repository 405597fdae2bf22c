"""How long it takes to set a document, and how large it is: an answered quote with a line that is tried first, warm."""

from collections.abc import Iterator
from itertools import count

from jobs import papers
from jobs.canonical import canonical
from tests.benchmarks.frame import Row, at_most, measured, milliseconds
from tests.jobs.papers import told

EVIDENCE = canonical(told.with_a_spread()).encode()


@measured
def papers_of_an_answer() -> Iterator[Row]:
    """Each call sets another quote, because the typesetter remembers what it has set."""
    numbers = count(1)

    def another(lines: int = 0) -> bytes:
        n = next(numbers)
        asked = told.long_answer(lines) if lines else told.with_a_spread()
        asked["lines"] = [each | {"why": f"{each['why']} Case {n}."} for each in asked["lines"]]
        return papers.answer(asked | {"quote_n": n}, evidence=EVIDENCE)

    yield at_most("PDF of an answer", milliseconds(another), "ms", 150)
    yield at_most("PDF of an answer of 60 lines", milliseconds(lambda: another(60), times=10), "ms", 600)
    yield at_most("size of the PDF of an answer", len(another()) / 1000, "kB", 100)
