"""What a customer reads of an entry, each piece with its line in the file: for whoever has to say where something is to mend."""

import re
from collections.abc import Iterator

from .explanation import Explanation, Written
from .parse import line_of
from .schema import ChoiceField


def front_line(entry: Explanation, *loc: int | str) -> int:
    return 2 + line_of(entry.front_text, loc)


def texts(entry: Explanation) -> Iterator[tuple[int, str]]:
    """Every paragraph, step and line that a customer reads, with its line in the file."""
    yield front_line(entry, "title"), entry.front.title
    yield front_line(entry, "short"), entry.front.short
    for number, outcome in enumerate(entry.outcomes):
        yield front_line(entry, "outcomes", number, "text"), outcome.text
    if entry.front.drawing:
        yield from ((front_line(entry, "drawing"), line) for line in entry.front.drawing.legend)
    for number, field in enumerate(entry.fields):
        if isinstance(field, ChoiceField):
            line = front_line(entry, "fields", number)
            yield from (
                (line, text) for option in field.options for text in (option.text, option.also) if text
            )
    for written in entry.written.values():
        yield from pieces(written)
    yield from outside(entry)


def outside(entry: Explanation) -> Iterator[tuple[int, str]]:
    """What is told apart from the explanation: the check before posting, and the habit afterwards."""
    if owner := entry.front.check:
        yield front_line(entry, "check", "ask"), owner.ask
        yield front_line(entry, "check", "settled"), owner.settled
        yield from ((front_line(entry, "check", "steps"), step) for step in owner.steps)
    if entry.front.habit:
        yield front_line(entry, "habit"), entry.front.habit


def pieces(written: Written) -> Iterator[tuple[int, str]]:
    """Paragraphs and list items of a section, each as one line of text with the number of its first line."""
    start, lines = written.line, list[str]()
    for number, line in enumerate([*written.markdown.split("\n"), ""], start=written.line):
        if lines and (not line.strip() or re.match(r"\s*(\d+\.|-) ", line)):
            yield start, " ".join(lines)
            lines = []
        if line.strip():
            start = start if lines else number
            lines.append(re.sub(r"^\s*(\d+\.|-) +", "", line).strip())


def sentences(text: str) -> list[str]:
    return [sentence for sentence in re.split(r"(?<=[.!?:])\s+", text) if sentence]
