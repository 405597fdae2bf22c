"""Every drawing can be made, with every answer that its entry may be given, and shows the marks that the legend names."""

from collections.abc import Iterator

from . import draw, facts
from .errors import FactError, LibraryError, Problem
from .explanation import Explanation, drawing_params
from .schema import ChoiceField, NumberField
from .texts import front_line


def drawings() -> list[Problem]:
    problems: list[Problem] = []
    for name in draw.names():
        try:
            draw.drawing(name)
        except (LibraryError, FactError) as error:
            path = draw.FOLDER / f"{name}.svg"
            problems += error.problems if isinstance(error, LibraryError) else [Problem(path, 1, str(error))]
    return problems


def drawing(entry: Explanation) -> Iterator[Problem]:
    use = entry.front.drawing
    if use is None:
        return
    line = front_line(entry, "drawing")
    if use.name not in draw.names():
        yield Problem(entry.path, line, f"there is no drawing called {use.name!r}")
        return
    for tried in _extremes(entry):
        try:
            svg = draw.drawing(use.name, **drawing_params(use, facts.check(entry.fields, tried)))
        except (FactError, KeyError) as error:
            yield Problem(entry.path, line, f"the drawing cannot be made with {tried}: {error}")
            continue
        shown = svg.count('class="mark"')
        if shown != len(use.legend):
            yield Problem(
                entry.path, line, f"the drawing shows {shown} marks, its legend names {len(use.legend)}"
            )
            return


def _extremes(entry: Explanation) -> list[dict[str, facts.Given]]:
    """The examples, and for each field in turn its limits or each of its answers."""
    base = facts.examples(entry.fields)
    tries = [base]
    for field in entry.fields:
        if isinstance(field, ChoiceField):
            tries += [{**base, field.key: option.value} for option in field.options]
        if isinstance(field, NumberField):
            tries += [{**base, field.key: str(end)} for end in (field.low, field.high)]
    return tries


def examples(entry: Explanation) -> Iterator[Problem]:
    try:
        facts.check(entry.fields, facts.examples(entry.fields))
    except FactError as error:
        yield Problem(entry.path, front_line(entry, "fields"), f"its own example does not fit: {error}")
