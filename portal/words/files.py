"""The `.po` files: where they lie, what they hold, and what in them is still without a translation."""

import io
from collections.abc import Iterator
from pathlib import Path

from babel.messages import Catalog, Message
from babel.messages.pofile import read_po

TONGUES = ("de",)
WRITTEN_IN = "en_GB"  # the sources; it has no .po file
ROOMS = ("jobs", "notifications", "portal")  # the lowest first
FOR_CUSTOMERS = "customers"  # the comment on each word that a customer can meet


def po_file(root: Path, room: str, tongue: str) -> Path:
    return root / room / "locale" / tongue / "LC_MESSAGES" / "django.po"


def read(path: Path, tongue: str) -> Catalog:
    """The catalogue that `path` holds; an empty one where there is no file yet."""
    return parsed(path.read_bytes() if path.exists() else b"", tongue)


def parsed(content: bytes, tongue: str) -> Catalog:
    return read_po(io.BytesIO(content), locale=tongue, abort_invalid=True)


def words_of(catalogue: Catalog) -> list[Message]:
    """Its entries without the first, which is the file's head."""
    return [message for message in catalogue if message.id]


def missing(root: Path, tongue: str) -> Iterator[tuple[str, Message]]:
    """Room and word of everything that a customer can meet and that has no translation yet, as the `.po` files stand."""
    for room in ROOMS:
        for message in words_of(read(po_file(root, room, tongue), tongue)):
            if FOR_CUSTOMERS in message.auto_comments and not is_translated(message):
                yield room, message


def is_translated(message: Message) -> bool:
    forms = message.string if isinstance(message.string, (list, tuple)) else [message.string]
    return all(forms) and not message.fuzzy
