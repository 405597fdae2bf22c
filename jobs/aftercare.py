"""What goes home with a camera: the matters of use behind its story, and a few habits for its kind. It knows no rows."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from jobs.library import prose
from jobs.library.explanation import Explanation
from jobs.library.shown import Shown

MOST_HABITS = 3
_NUMBER = re.compile(r"^(?:\d+\.|-) ")


@dataclass(frozen=True)
class Told:
    """A posted finding that comes from how the camera was used: its title, and the explanation as it was shown."""

    title: str
    explanation: str
    shown: Mapping[str, Any]


@dataclass(frozen=True)
class Matter:
    """One matter of use: what it was, and what keeps it from coming back, as one sentence or as steps."""

    title: str
    explanation: str
    advice: tuple[str, ...]


@dataclass(frozen=True)
class Aftercare:
    """What a customer is told at the end. Both lists may be empty."""

    matters: tuple[Matter, ...] = ()
    habits: tuple[str, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.matters or self.habits)

    def as_dict(self) -> dict[str, Any]:
        """Strings and lists only, fit for the journal."""
        matters = [vars(matter) | {"advice": list(matter.advice)} for matter in self.matters]
        return {"matters": matters, "habits": list(self.habits)}

    @classmethod
    def from_dict(cls, kept: Mapping[str, Any]) -> "Aftercare":
        matters = [Matter(**matter | {"advice": tuple(matter["advice"])}) for matter in kept["matters"]]
        return cls(tuple(matters), tuple(kept["habits"]))


def aftercare(told: Iterable[Told], traits: Iterable[str], entries: Mapping[str, Explanation]) -> Aftercare:
    """For an item with these traits, about which these matters of use were told. The same input gives the same words."""
    matters = tuple(matter for each in told if (matter := _matter(each, entries.get(each.explanation))))
    spoken_of = {matter.explanation.partition("/")[0] for matter in matters}
    return Aftercare(matters, tuple(_habits(frozenset(traits), entries, spoken_of)))


def _matter(told: Told, entry: Explanation | None) -> Matter | None:
    """None where the library has nothing that an owner can do about it."""
    advice = (_habit(entry),) if entry and entry.front.habit else _steps(told.shown)
    return Matter(told.title.rstrip("."), told.explanation, advice) if advice else None


def _steps(shown: Mapping[str, Any]) -> tuple[str, ...]:
    """What they can do, as the customer was shown it: each paragraph or step by itself, without its number."""
    part = Shown.from_dict(dict(shown)).section("what_you_can_do") if shown else None
    lines = part.text.splitlines() if part else []
    return tuple(_NUMBER.sub("", line) for line in lines if line.strip())


def _habits(traits: frozenset[str], entries: Mapping[str, Explanation], spoken_of: set[str]) -> Iterable[str]:
    """The habits that fit this kind of camera: the more particular before the general, one for each mechanism."""
    fitting = [entry for entry in entries.values() if entry.front.habit and entry.traits <= traits]
    given: list[str] = []
    for entry in sorted(fitting, key=lambda entry: (-len(entry.traits), entry.key)):
        if entry.mechanism not in spoken_of and len(given) < MOST_HABITS:
            spoken_of = spoken_of | {entry.mechanism}
            given.append(_habit(entry))
    return given


def _habit(entry: Explanation) -> str:
    """An entry's habit in plain text."""
    return prose.line_to_text(entry.front.habit or "", {})
