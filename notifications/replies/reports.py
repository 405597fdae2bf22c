"""What a mail server reports about a letter of ours (RFC 3464): which one, what became of it, and why."""

from dataclasses import dataclass
from email.message import Message

from notifications.replies.head import IDENTIFIER, one_line

LONGEST_ADDRESS = 320


@dataclass(frozen=True)
class Report:
    """`letter`: our Message-ID, "" where the report does not name it. `action`: failed, delayed, delivered, relayed or expanded
    (RFC 3464 section 2.3.3). `status`: as RFC 3463 writes it, "5.1.1". `recipient`: where it was to go in the end, `original`: for whom
    it was before somebody's forwarding (sections 2.3.1 and 2.3.2); "" where that is not said."""

    letter: str
    action: str
    status: str
    recipient: str
    said: str
    original: str = ""

    def is_about(self, address: str) -> bool:
        """Whether it names this address as its recipient."""
        named = {one.strip("<> ").lower() for one in (self.recipient, self.original)}
        return address.lower() in named


def report_in(message: Message) -> Report | None:
    """The first recipient's fate: each letter of ours has one recipient. None for a report of another kind."""
    parts = message.get_payload()
    if message.get_content_type() != "multipart/report" or not isinstance(parts, list):
        return None
    whole = [part for part in parts if isinstance(part, Message)]
    told = next((part for part in whole if part.get_content_type() == "message/delivery-status"), None)
    fields = _about_the_recipient(told) if told is not None else None
    if fields is None:
        return None
    return Report(
        letter=_message_id(whole),
        action=_first_word(fields, "action"),
        status=_first_word(fields, "status"),
        recipient=_after_type(fields, "final-recipient")[:LONGEST_ADDRESS],
        said=_after_type(fields, "diagnostic-code")[:400],
        original=_after_type(fields, "original-recipient")[:LONGEST_ADDRESS],
    )


def _about_the_recipient(told: Message) -> Message | None:
    """The standard library reads the groups of fields as messages: the first is about the message, the next about a recipient."""
    groups = told.get_payload()
    if not isinstance(groups, list):
        return None
    return next((one for one in groups if isinstance(one, Message) and one.get("action")), None)


def _message_id(parts: list[Message]) -> str:
    """From the copy of our letter, or of its head, that comes along (RFC 6522 section 3)."""
    for part in parts:
        inside = part.get_payload()
        if part.get_content_type() == "message/rfc822" and isinstance(inside, list) and inside:
            return _identifier(str(inside[0].get("message-id", "")))  # type: ignore[union-attr]
        if part.get_content_type() == "text/rfc822-headers":
            raw = part.get_payload(decode=True)
            lines = raw.decode(errors="replace") if isinstance(raw, bytes) else ""
            for line in lines.splitlines():
                if line.lower().startswith("message-id:"):
                    return _identifier(line)
    return ""


def _identifier(text: str) -> str:
    return next(iter(IDENTIFIER.findall(text)), "")


def _first_word(fields: Message, name: str) -> str:
    return next(iter(one_line(str(fields.get(name, ""))).lower().split()), "")[:40]


def _after_type(fields: Message, name: str) -> str:
    """ "rfc822; orla@example.org" -> "orla@example.org", on one line."""
    kind, semicolon, value = str(fields.get(name, "")).partition(";")
    return one_line(value if semicolon else kind)
