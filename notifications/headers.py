"""How a letter's headers are read and folded: the standard library's ways, with what they lack for identifiers and for speed.

Half of the time that it takes to build a letter goes into reading headers that stood in the letter before, word for word.
"""

from email.headerregistry import BaseHeader, HeaderRegistry, UnstructuredHeader
from email.policy import SMTP, Policy
from functools import lru_cache
from typing import Any

LINE = 78  # characters, RFC 5322 section 2.1.1
SAME_IN_MANY_LETTERS = {
    "from",
    "auto-submitted",
    "x-auto-response-suppress",
    "list-id",
    "list-unsubscribe-post",
    "mime-version",
    "content-type",
    "content-transfer-encoding",
}


class Header(BaseHeader):
    """What is plain and short enough stands in one line as it is; the library would take it apart and put it together again."""

    def fold(self, *, policy: Policy) -> str:
        line = f"{self.name}: {self}"
        if len(line) <= LINE and line.isascii() and line.isprintable():
            return line + policy.linesep
        return super().fold(policy=policy)


class Tokens(UnstructuredHeader, BaseHeader):
    """A header of identifiers or addresses: folded between them, never inside one.

    The library's own folding turns a token longer than a line into an encoded word, which no reader of identifiers undoes.
    """

    @classmethod
    def parse(cls, value: str, kwds: dict[str, Any]) -> None:
        """Nothing in it has to be understood."""
        kwds["parse_tree"], kwds["decoded"] = None, value

    def fold(self, *, policy: Policy) -> str:
        return f"{self.name}: " + f"{policy.linesep} ".join(str(self).split()) + policy.linesep


class Headers(HeaderRegistry):
    """The library makes a new class for every header of every letter; here one for each name is enough, and one header for all letters
    where it says the same.
    """

    def __init__(self) -> None:
        super().__init__(base_class=Header)
        self._made: dict[str, type[BaseHeader]] = {}
        self._again = lru_cache(maxsize=200)(super().__call__)
        for name in ("message-id", "in-reply-to", "references", "list-unsubscribe"):
            self.map_to_type(name, Tokens)

    def __getitem__(self, name: str) -> type[BaseHeader]:
        if name not in self._made:
            self._made[name] = super().__getitem__(name)
        return self._made[name]

    def __call__(self, name: str, value: Any) -> BaseHeader:
        if name.lower() in SAME_IN_MANY_LETTERS and "boundary" not in str(value):
            return self._again(name, str(value))
        header: BaseHeader = super().__call__(name, value)
        return header


# 7bit: a server without 8BITMIME (RFC 6152) must not have to rewrite, and so break a signature.
POLICY = SMTP.clone(header_factory=Headers(), cte_type="7bit")
