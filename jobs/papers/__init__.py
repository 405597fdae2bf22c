"""Documents as archival PDF: a quote with its answer, and the card of a warranty. Plain values in, bytes out; no rows, no requests."""

from typing import Any

from jobs.papers import answering, typeset, warranting
from jobs.papers.typeset import CannotSet

__all__ = ["CannotSet", "answer", "warranty"]


def answer(told: dict[str, Any], language: str = "en-gb", **evidence: bytes) -> bytes:
    """The PDF of a quote with its answer, or of an offer that waits for one; `told` as jobs.papers.answering.content says.

    Each piece of `evidence`, canonical JSON, goes into the file as <its name>.json, byte for byte.
    """
    attached = {f"{name}.json": text for name, text in evidence.items()}
    return typeset.typeset("answer", answering.content(told), attached=attached, language=language)


def warranty(told: dict[str, Any], language: str = "en-gb") -> bytes:
    """The PDF of a warranty's card; `told` as jobs.papers.warranting.content says."""
    return typeset.typeset("warranty", warranting.content(told), language=language)
