"""What was typed into the fields of a form, as the text of a file has it."""

import re
from decimal import Decimal
from typing import TypeVar

from django import forms
from django.http import QueryDict
from django.utils.text import slugify

Row = TypeVar("Row", bound=forms.Form)
MOST_ROWS = 40


def rows(kind: type[Row], prefix: str, data: QueryDict) -> list[Row]:
    """As many rows as the page had; the number came along."""
    typed = data.get(f"{prefix}-rows", "0")
    count = int(typed) if typed.isascii() and typed.isdigit() and len(typed) < 4 else 0
    return [kind(data, prefix=f"{prefix}-{n}") for n in range(min(count, MOST_ROWS))]


def said(form: forms.Form, name: str) -> str:
    """What was typed into a field, with the line ends of a file. No database takes NUL, and nobody means it."""
    typed = str(form.data.get(form.add_prefix(name), "")).replace("\0", "")
    return typed.replace("\r\n", "\n").replace("\r", "\n").strip()


def line(form: forms.Form, name: str) -> str:
    """What was typed, as one line: a box that wraps invites a press of Enter."""
    return re.sub(r"\s*\n\s*", " ", said(form, name))


def is_filled(form: forms.Form, but: tuple[str, ...] = ()) -> bool:
    return any(said(form, name) for name in form.fields if name not in but)


def lines(text: str) -> list[str]:
    return [line.strip() for line in text.split("\n") if line.strip()]


def number(text: str) -> int | Decimal | str:
    """A number as a file has it; anything else stays as it was typed, for the schema to refuse."""
    if re.fullmatch(r"-?[0-9]{1,9}", text):
        return int(text)
    if re.fullmatch(r"-?[0-9]{1,9}\.[0-9]{1,6}", text):
        return Decimal(text)
    return text


def name_from(text: str, taken: list[str]) -> str:
    """A short name made of a text's first words, unlike those that there are."""
    made = re.sub(r"^[^a-z]+", "", slugify(text).replace("-", "_"))[:24].rstrip("_") or "answer"
    ends = ("", *(f"_{n}" for n in range(2, len(taken) + 3)))
    return next(name for end in ends if (name := f"{made}{end}") not in taken)
