"""Canonical JSON (RFC 8785) and its SHA-256: the same content always gives the same bytes.

Strings are brought to Unicode NFC first, because RFC 8785 keeps two spellings of one letter apart. Only strings, integers below
2**53, booleans, None, lists and dictionaries go in: no floats, no dates.
"""

import hashlib
from typing import Any
from unicodedata import normalize

import rfc8785


def canonical(value: Any) -> str:
    """Return the canonical JSON text. Raises TypeError for a float or another type that has no exact form."""
    return rfc8785.dumps(_plain(value)).decode()


def digest(text: str) -> str:
    """SHA-256 of the text's UTF-8 bytes, in hex."""
    return hashlib.sha256(text.encode()).hexdigest()


def salted(salt: str, text: str) -> str:
    """SHA-256 of a salt and a text, in hex; "" for no text. Without the salt nobody finds the text by trying."""
    return digest(f"{salt}\n{text}") if text else ""


def _plain(value: Any) -> Any:
    if isinstance(value, str):
        return normalize("NFC", str(value))
    if value is None or isinstance(value, bool | int):
        return value
    if isinstance(value, dict):
        return {_plain(str(key)): _plain(part) for key, part in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(part) for part in value]
    raise TypeError(f"{type(value).__name__} has no exact form in the journal")
