"""What can go wrong with the library: a file that is not right, or facts that do not fit an entry."""

from dataclasses import dataclass
from pathlib import Path

from .schema import ChoiceField, NumberField, TextField

AnAskedField = ChoiceField | NumberField | TextField


@dataclass(frozen=True, order=True)
class Problem:
    """One thing to mend in the library, with the place to mend it."""

    path: Path
    line: int
    message: str

    def __str__(self) -> str:
        return f"{self.path}:{self.line}: {self.message}"


class LibraryError(ValueError):
    """A file of the library cannot be read. Carries every problem found in it."""

    def __init__(self, problems: list[Problem]) -> None:
        super().__init__("\n".join(str(problem) for problem in problems))
        self.problems = problems


class FactError(ValueError):
    """A fact does not fit the entry. `key` names the field; the message is fit to stand beside it on a form."""

    def __init__(self, key: str, message: str) -> None:
        super().__init__(message)
        self.key = key


class MissingFact(FactError):
    """A fact that the entry needs was not given. The message names the field by its label."""

    def __init__(self, field: AnAskedField) -> None:
        super().__init__(field.key, f"Please fill in: {field.label}.")
        self.field = field


class BadFact(FactError):
    """A fact was given that the entry cannot take. `why` says what would be right."""

    def __init__(self, key: str, why: str) -> None:
        super().__init__(key, why)
        self.why = why
