"""The head of a message as it came (RFC 5322 section 2.2): all that is read of a stranger's bytes in our own process.

The oldest, most patient parser of the standard library, on a bounded number of bytes and fields; bodies are for `child`.
"""

import hashlib
import re
from dataclasses import dataclass
from email.header import decode_header, make_header
from email.message import Message
from email.parser import BytesHeaderParser
from email.policy import compat32
from email.utils import getaddresses

MOST_BYTES = 256 * 1024
MOST_FIELDS = 400
LONGEST_FIELD = 8_000  # characters that are looked at
END = re.compile(rb"\r?\n\r?\n")
IDENTIFIER = re.compile(r"<[^<>\s\x00-\x1f\x7f]{1,250}>")
# Where servers note for whom a message came, which need not stand in To. The names are common practice, no source.
RECIPIENTS = ("delivered-to", "x-original-to", "envelope-to", "to", "cc")


class TooMuch(Exception):
    """The head is larger than any that a mail program writes."""


@dataclass(frozen=True)
class Head:
    """What the head says. `fields` are name (lower case) and value as they came, in order; addresses are bare."""

    fields: tuple[tuple[str, str], ...]
    message_id: str
    from_address: str
    to: tuple[str, ...]
    subject: str
    answers: tuple[str, ...]  # identifiers of the messages that it answers, from In-Reply-To and References

    def all(self, name: str) -> list[str]:
        return [value for field, value in self.fields if field == name]

    def first(self, name: str) -> str:
        return next(iter(self.all(name)), "")


def head_bytes(raw: bytes) -> bytes:
    """The head of a whole message, with the empty line that ends it. Raises TooMuch."""
    end = END.search(raw[:MOST_BYTES])
    if end is None and len(raw) > MOST_BYTES:
        raise TooMuch
    return raw[: end.end()] if end else raw


def read(raw: bytes) -> Head:
    """Read the head of `raw`, whatever follows it. Raises TooMuch, and nothing else for what it may hold."""
    parsed: Message = BytesHeaderParser(policy=compat32).parsebytes(head_bytes(raw))
    if len(parsed) > MOST_FIELDS:
        raise TooMuch
    fields = tuple((name.lower(), str(value)[:LONGEST_FIELD]) for name, value in parsed.items())
    found = dict(reversed(fields))  # the first of each name
    return Head(
        fields=fields,
        message_id=next(iter(IDENTIFIER.findall(found.get("message-id", ""))), ""),
        from_address=next(iter(_addresses(found.get("from", ""))), "")[:254],
        to=tuple(
            dict.fromkeys(one for name, value in fields if name in RECIPIENTS for one in _addresses(value))
        ),
        subject=decoded(found.get("subject", ""))[:200],
        answers=tuple(
            dict.fromkeys(
                one
                for name in ("in-reply-to", "references")
                for one in IDENTIFIER.findall(found.get(name, ""))[-50:]
            )
        ),
    )


def fingerprint(head: Head, raw: bytes) -> str:
    """What names this message, by whatever road it comes: two roads hand over other bytes. SHA-256, hexadecimal."""
    if not head.message_id:
        return hashlib.sha256(raw).hexdigest()
    named = (head.message_id, head.from_address.lower(), head.first("date"), head.subject)
    return hashlib.sha256("\n".join(named).encode(errors="replace")).hexdigest()


def decoded(value: str) -> str:
    """A field's value with its encoded words (RFC 2047) read, on one line, without what cannot be printed."""
    try:
        text = str(make_header(decode_header(value)))
    except (LookupError, ValueError, UnicodeError):
        text = value
    return one_line(text)


def one_line(text: str) -> str:
    """Text without line ends and other signs that cannot be printed."""
    text = text.encode(errors="replace").decode()
    return "".join(sign for sign in " ".join(text.split()) if sign.isprintable())


def _addresses(value: str) -> list[str]:
    try:
        found = getaddresses([value])
    except (ValueError, IndexError):
        return []
    return [one_line(address) for _name, address in found[:100] if "@" in address]
