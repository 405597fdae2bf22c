"""How a letter's headers are written: what is plain stands as it is, everything else the standard library folds and encodes."""

from datetime import datetime
from email.headerregistry import Address, BaseHeader, HeaderRegistry, UnstructuredHeader
from email.policy import SMTP, Policy
from email.utils import format_datetime
from typing import Any

LINE = 78  # characters, RFC 5322 section 2.1.1
NEW_LINE = "\r\n"


class Tokens(UnstructuredHeader, BaseHeader):
    """A header of identifiers or addresses: folded between them, never inside one.

    The library's own folding turns a token longer than a line into an encoded word, which no reader of identifiers undoes.
    """

    @classmethod
    def parse(cls, value: str, kwds: dict[str, Any]) -> None:
        """Nothing in it has to be understood."""
        kwds["parse_tree"], kwds["decoded"] = None, value

    def fold(self, *, policy: Policy) -> str:
        tokens = str(self).split()
        between = " " if len(f"{self.name}: {' '.join(tokens)}") <= LINE else f"{policy.linesep} "
        return f"{self.name}: " + between.join(tokens) + policy.linesep


def _registry() -> HeaderRegistry:
    registry = HeaderRegistry()
    for name in ("message-id", "in-reply-to", "references", "list-unsubscribe"):
        registry.map_to_type(name, Tokens)
    return registry


# 7bit: a server without 8BITMIME (RFC 6152) must not have to rewrite, and so break a signature.
POLICY = SMTP.clone(header_factory=_registry(), cte_type="7bit")


def header(name: str, value: str | Address | datetime) -> str:
    """One field with its line end, as the library writes it, which takes most of a message's time to read what we put together."""
    text = format_datetime(value) if isinstance(value, datetime) else str(value)
    line = f"{name}: {text}"
    if text and len(line) <= LINE and line.isascii() and line.isprintable() and "=?" not in line:
        return line + NEW_LINE
    return folded(name, value)


def folded(name: str, value: str | Address | datetime) -> str:
    """One field by the library alone: folded and, where it has to be, in encoded words (RFC 2047)."""
    written: str = POLICY.fold(name, POLICY.header_factory(name, value))
    return written
