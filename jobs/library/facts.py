"""Checking the facts of one camera against the fields of an entry."""

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from .errors import AnAskedField, BadFact, MissingFact
from .schema import ChoiceField, NumberField, TextField

Given = str | int


@dataclass(frozen=True)
class Fact:
    """One checked fact: as it is kept, as it reads in a sentence, as a drawing takes it, and as a second sentence has it."""

    kept: Given
    text: str
    draw: str
    also: str = ""


def check(fields: list[AnAskedField], facts: Mapping[str, Given]) -> dict[str, Fact]:
    """Check every fact. Raises MissingFact or BadFact for the first field, in the entry's order, that does not fit."""
    strays = sorted(set(facts) - {field.key for field in fields})
    if strays:
        raise BadFact(strays[0], f"This explanation has no field called {strays[0]!r}.")
    return {field.key: _one(field, facts.get(field.key, "")) for field in fields}


def examples(fields: list[AnAskedField]) -> dict[str, Given]:
    """Facts that show the entry as it could read: each field's example."""
    return {field.key: _as_given(field.example) for field in fields}


def _as_given(value: str | Decimal | int) -> Given:
    return value if isinstance(value, int) else str(value)


def _one(field: AnAskedField, given: Given) -> Fact:
    if isinstance(given, str):
        given = given.strip()
    if given == "":
        if field.default is None:
            raise MissingFact(field)
        given = _as_given(field.default)
    if isinstance(field, ChoiceField):
        return _choice(field, given)
    if isinstance(field, NumberField):
        return _number(field, given)
    return _text(field, given)


def _choice(field: ChoiceField, given: Given) -> Fact:
    for option in field.options:
        if option.value == given:
            return Fact(option.value, curled(option.text), option.for_drawing(), curled(option.also or ""))
    raise BadFact(field.key, f"{field.label}: please choose one of the answers.")


def curled(text: str) -> str:
    """Our own text with true apostrophes. What a person typed stays as it is."""
    return text.replace("'", "’")


def _number(field: NumberField, given: Given) -> Fact:
    span = f"{field.low} to {field.high} {field.unit}".rstrip()
    value = _decimal(given)
    if value is None or isinstance(given, bool):
        raise BadFact(field.key, f"{field.label}: please give a number, {span}.")
    if value != round(value, field.places):
        fine = "a whole number" if field.places == 0 else f"no more than {field.places} decimal places"
        raise BadFact(field.key, f"{field.label}: please give {fine}, {span}.")
    if not field.low <= value <= field.high:
        raise BadFact(field.key, f"{field.label}: {value} lies outside {span}.")
    shown = f"{value:.{field.places}f}"
    return Fact(int(shown) if field.places == 0 else shown, shown, shown)


def _decimal(given: Given) -> Decimal | None:
    """The number as typed, or None. Only plain figures: `Decimal` alone would also take 'NaN', '1e9' and '1_000'."""
    typed = str(given)
    if not typed.removeprefix("-").replace(".", "", 1).isascii() or len(typed) > 12:
        return None
    if not typed.removeprefix("-").replace(".", "", 1).isdigit():
        return None
    try:
        return Decimal(typed)
    except InvalidOperation:
        return None


def _text(field: TextField, given: Given) -> Fact:
    words = str(given)
    if any(unicodedata.category(char) in {"Cc", "Cf", "Cs", "Co", "Zl", "Zp"} for char in words):
        raise BadFact(field.key, f"{field.label}: please keep to one line of plain text.")
    if len(words) > field.longest:
        raise BadFact(field.key, f"{field.label}: please use no more than {field.longest} characters.")
    return Fact(words, words, words)
