"""What a new quote changes against the one it replaces, in words: from what was shown of both, no rows.

Both are the contents of `jobs.evidence.content`. A line is known again by `same_as`, the id of the line that it was copied from.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from jobs.revising_words import LINE, WHOLE, Data, Kind, price


@dataclass(frozen=True)
class Change:
    """One difference. `title`: the line that it is about, "" for the quote as a whole; `before` and `after` as people read them."""

    kind: Kind
    title: str
    before: str = ""
    after: str = ""


def changes(old: Data, new: Data) -> list[Change]:
    """Every difference: of the quote as a whole, then line by line in the new order, then what is gone. Equal contents give none."""
    whole = [Change(kind, "", read(old), read(new)) for kind, read in WHOLE if read(old) != read(new)]
    before, after = _lines(old), _lines(new)
    found: list[Change] = []
    kept: set[int] = set()
    for was, now in _paired(before, after):
        kept |= {was["id"]} if was else set()
        found += _between(was, now, old, new) if was else [Change("added", now["title"], "", price(now, new))]
    gone = [line for line in before.values() if line["id"] not in kept]
    return whole + found + [Change("removed", line["title"], price(line, old)) for line in gone]


def traced(new: Data, between: Iterable[Data]) -> dict[str, Any]:
    """`new` as if it replaced an older quote itself: `between` are the quotes that stand between the two, newest first."""
    known = dict(new)
    for step in between:
        origin = {line["id"]: line.get("same_as") for line in _lines(step).values()}
        known["lines"] = [_retold(line, origin) for line in known["lines"]]
    return known


def _retold(line: Data, origin: Mapping[int, int | None]) -> dict[str, Any]:
    outcomes = [
        {**turn, "follow_ons": [_retold(each, origin) for each in turn["follow_ons"]]}
        for turn in line.get("outcomes", ())
    ]
    return {**line, "same_as": origin.get(line.get("same_as") or 0), "outcomes": outcomes}


def _lines(told: Data) -> dict[int, Data]:
    """Lines and follow-ons by their id, in their order."""
    found: dict[int, Data] = {}
    for line in told["lines"]:
        found[line["id"]] = line
        for turn in line.get("outcomes", ()):
            found |= {each["id"]: each for each in turn["follow_ons"]}
    return found


def _paired(before: Mapping[int, Data], after: Mapping[int, Data]) -> list[tuple[Data | None, Data]]:
    """Each new line with the one it was; one whose origin is not known (a branch written anew) is known by its title."""
    known = {
        pk: before[origin] for pk, line in after.items() if (origin := line.get("same_as") or pk) in before
    }
    taken = {was["id"] for was in known.values()}
    free = {line["title"]: line for line in before.values() if line["id"] not in taken}
    return [(known.get(pk) or free.pop(line["title"], None), line) for pk, line in after.items()]


def _between(was: Data, now: Data, old: Data, new: Data) -> list[Change]:
    found = []
    for kind, read in LINE:
        before, after = read(was, old), read(now, new)
        if before != after:
            found.append(Change(kind, now["title"], before, after))
    return found
