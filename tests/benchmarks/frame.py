"""What a measurement is, and how measurements are shown.

A file `tests/benchmarks/rows_<subject>.py` measures: each function marked `@measured` answers one Row or several. It runs
with Django set up on an empty database of its own; see bench.py.
"""

import json
import statistics
import time
from collections.abc import Callable, Iterable
from dataclasses import asdict, dataclass
from pathlib import Path


@dataclass(frozen=True)
class Row:
    """One figure. `aim` is what we want, in words a reader understands ("at most 12"); `holds` says whether we have it."""

    name: str
    value: float
    unit: str
    aim: str
    holds: bool


Measure = Callable[[], Row | Iterable[Row]]
measures: list[Measure] = []


def measured(measure: Measure) -> Measure:
    """Marks a function as a measurement of `make bench`."""
    measures.append(measure)
    return measure


def at_most(name: str, value: float, unit: str, limit: float) -> Row:
    return Row(name, round(value, 3), unit, f"at most {limit:g}", value <= limit)


def at_least(name: str, value: float, unit: str, limit: float) -> Row:
    return Row(name, round(value, 3), unit, f"at least {limit:g}", value >= limit)


def milliseconds(act: Callable[[], object], times: int = 30, warm: int = 3) -> float:
    """The median time of one call, in ms, after a few calls that do not count."""
    for _ in range(warm):
        act()
    taken = []
    for _ in range(times):
        begin = time.perf_counter()
        act()
        taken.append((time.perf_counter() - begin) * 1000)
    return statistics.median(taken)


def side_by_side(*acts: Callable[[], object], times: int = 30, warm: int = 3) -> list[float]:
    """The median time of each call in ms, taken in turns, so that a busy moment of the machine falls on all of them."""
    taken: list[list[float]] = [[] for _ in acts]
    for turn in range(warm + times):
        for act, figures in zip(acts, taken, strict=True):
            begin = time.perf_counter()
            act()
            if turn >= warm:
                figures.append((time.perf_counter() - begin) * 1000)
    return [statistics.median(figures) for figures in taken]


def take(chosen: Iterable[Measure]) -> list[Row]:
    """Every measurement's rows. One that fails is a row that does not hold, with the error as its aim."""
    rows: list[Row] = []
    for measure in chosen:
        try:
            answer = measure()
            rows += [answer] if isinstance(answer, Row) else list(answer)
        except Exception as error:  # a figure that cannot be taken is news, and no reason to lose the others
            name = measure.__name__.replace("_", " ")
            rows.append(Row(name, -1, "", f"could not be measured: {error!r}", False))
    return rows


def table(rows: Iterable[Row]) -> str:
    """The rows for a terminal, figures flush right."""
    cells = [("", "value", "unit", "aim", "")]
    cells += [
        (row.name, f"{row.value:,g}", row.unit, row.aim, "holds" if row.holds else "MISSED") for row in rows
    ]
    widths = [max(len(line[column]) for line in cells) for column in range(5)]
    return "\n".join(
        f"{name:<{widths[0]}}  {value:>{widths[1]}} {unit:<{widths[2]}}  {aim:<{widths[3]}}  {verdict}".rstrip()
        for name, value, unit, aim, verdict in cells
    )


def keep(rows: Iterable[Row], file: Path) -> None:
    """Writes the rows as JSON: a list of {"name", "value", "unit", "aim", "holds"}."""
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(json.dumps([asdict(row) for row in rows], indent=1, ensure_ascii=False) + "\n")
