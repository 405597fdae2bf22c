"""Reads a PDF back with pypdf."""

import re
from collections.abc import Iterator
from io import BytesIO
from typing import Any

from pypdf import PdfReader


def pdf(made: bytes) -> PdfReader:
    return PdfReader(BytesIO(made), strict=True)


def text(made: bytes) -> str:
    """All its text, one space for each stretch of white."""
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pdf(made).pages))


def bare(made: str | bytes) -> str:
    """Its text without any white, so that where a line ended makes no difference."""
    return re.sub(r"\s+", "", text(made) if isinstance(made, bytes) else made)


def objects(made: bytes) -> Iterator[Any]:
    """Every object of the file."""
    read = pdf(made)
    numbers = {number for generation in read.xref.values() for number in generation} | set(read.xref_objStm)
    for number in sorted(numbers - {0}):
        yield read.get_object(number)


def dictionaries(made: bytes) -> Iterator[dict[str, Any]]:
    """Every dictionary of the file, also those inside others."""
    waiting = list(objects(made))
    while waiting:
        each = waiting.pop()
        if isinstance(each, dict):
            yield each
            waiting += [part for part in each.values() if isinstance(part, dict | list)]
        elif isinstance(each, list):
            waiting += [part for part in each if isinstance(part, dict | list)]
