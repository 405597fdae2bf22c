"""How a letter's headers are read and folded: the standard library's ways, with what they lack for identifiers and for speed."""

from email.headerregistry import BaseHeader, HeaderRegistry, UnstructuredHeader
from email.policy import SMTP, Policy
from functools import lru_cache
from typing import Any


class Tokens(UnstructuredHeader, BaseHeader):
    """A header of identifiers or addresses: folded between them, never inside one.

    The library's own folding turns a token longer than a line into an encoded word, which no reader of identifiers undoes.
    """

    @classmethod
    def parse(cls, value: str, kwds: dict[str, Any]) -> None:
        """Nothing in it has to be understood; the library would take it apart sign by sign."""
        kwds["parse_tree"], kwds["decoded"] = None, value

    def fold(self, *, policy: Policy) -> str:
        return f"{self.name}: " + f"{policy.linesep} ".join(str(self).split()) + policy.linesep


class Headers(HeaderRegistry):
    """The library makes a new class for every header of every letter; one for each name is enough."""

    def __init__(self) -> None:
        super().__init__()
        self._made: dict[str, type[BaseHeader]] = {}
        for name in ("message-id", "in-reply-to", "references", "list-unsubscribe"):
            self.map_to_type(name, Tokens)

    def __getitem__(self, name: str) -> type[BaseHeader]:
        if name not in self._made:
            self._made[name] = super().__getitem__(name)
        return self._made[name]


_HEADERS = Headers()
# 7bit: a server without 8BITMIME (RFC 6152) must not have to rewrite, and so break a signature.
POLICY = SMTP.clone(header_factory=_HEADERS, cte_type="7bit")


@lru_cache(maxsize=200)
def said_before(name: str, value: str) -> BaseHeader:
    """A header that stands in letter after letter (who it is from, that a machine wrote it), read once."""
    header: BaseHeader = _HEADERS(name, value)
    return header
