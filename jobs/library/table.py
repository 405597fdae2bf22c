"""The collection in figures, as DEVELOPERS.md prints it."""

from statistics import median
from typing import get_args

from . import reading
from .explanation import Explanation
from .schema import Mechanism


def table(found: list[Explanation]) -> str:
    """The collection as a table in Markdown, a row per mechanism. Grades are Flesch-Kincaid."""
    heads = [
        "mechanism", "entries", "drawings", "matters of use", "not known until tried", "cannot be undone",
        "checks at home", "grade, median", "grade, highest",
    ]  # fmt: skip
    rows = [f"| {' | '.join(heads)} |", "|---" * len(heads) + "|"]
    grades = {entry.key: reading.grade_of(entry.sample()) for entry in found}
    for name in [*get_args(Mechanism), "all"]:
        here = [entry for entry in found if name in (entry.mechanism, "all")]
        if here:
            rows.append(_row(name, here, [grades[entry.key] for entry in here]))
    return "\n".join(rows)


def _row(name: str, here: list[Explanation], grades: list[float]) -> str:
    cells = [
        name.replace("_", " "),
        len(here),
        sum(entry.front.drawing is not None for entry in here),
        sum(entry.bearing == "use" for entry in here),
        sum(bool(entry.outcomes) for entry in here),
        sum("not_undone" in entry.written for entry in here),
        sum(entry.front.check is not None for entry in here),
        f"{median(grades):.1f}",
        f"{max(grades):.1f}",
    ]
    return f"| {' | '.join(map(str, cells))} |"
