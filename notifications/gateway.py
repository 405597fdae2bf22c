"""Speaks to the one gateway of text messages: fills its templates, posts, and reads what it answers.

Gateways differ in the names of a few fields and in how they want to know us, so that is what the owner writes down: a body and a header
with places. A value is quoted as the body's kind needs it, in one pass, so that nothing in a text can be taken for a place or a field.
"""

import base64
import json
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any
from urllib.parse import parse_qsl, quote_plus

from jobs.actions.linking import KEY_IN_WORDS
from notifications.channels.base import Trouble, Undelivered
from notifications.models import TextGateway
from notifications.outward import Answer, post, wait_of
from notifications.sealing import CannotUnseal, unseal

PLACE = re.compile(r"\{(to|digits|text|sender|secret|basic)\}")
HEADER_NAME = re.compile(r"[!#$%&'*+.^_`|~0-9A-Za-z-]+")  # RFC 9110 section 5.6.2, token
OURS = {"host", "content-length", "content-type", "transfer-encoding", "connection", "idempotency-key"}
TYPES = {"json": "application/json", "form": "application/x-www-form-urlencoded"}

# About us and not about this message: the log-in, the bill, the address of the gateway. Trying again helps once it is mended.
ABOUT_US = {401, 402, 403, 404, 405, 407, 411, 415, 421}
LATER = {408, 409, 425}  # 409: it works on the same Idempotency-Key at this moment
# Where everything else has gone before, what can be wrong with one message is its number.
ABOUT_THE_NUMBER = {400, 410}  # and 422: see NotProcessed
NAMES_OF_AN_ID = ("id", "message_id", "messageId")
LONGEST_ID = 200


class NotProcessed(Undelivered):
    """422 (RFC 9110 section 15.5.21). Of a repeat it says nothing about the number: the draft's section 2.7 has it mean that the key was
    used before with another body, and each try of ours has a private link of its own.
    """

    def __init__(self, reason: str) -> None:
        super().__init__(reason, Trouble.PERMANENT, no_such_address=True)


class BadTemplate(ValueError):
    """The body or the header cannot be sent as it is written. `field`: "body" or "header"."""

    def __init__(self, field: str, why: str) -> None:
        super().__init__(why)
        self.field = field


@dataclass(frozen=True)
class Gateway:
    """A gateway with its secret in the open: only while something is sent."""

    url: str
    kind: str
    body: str
    header: str = ""
    secret: str = ""
    sender: str = ""


@dataclass(frozen=True)
class Taken:
    """The gateway took a message. `said`: the beginning of its answer."""

    provider_id: str
    said: str


def of(row: TextGateway) -> Gateway:
    """Raises Undelivered when the secret was sealed with another SECRET_KEY."""
    try:
        secret = unseal(row.sealed_secret)
    except CannotUnseal:
        raise Undelivered(
            "The secret of the gateway cannot be read any more. Type it again under Settings.",
            way_is_shut=True,
        ) from None
    return Gateway(row.url, row.kind, row.body, row.header, secret, row.sender)


def hand_over(gateway: Gateway, to: str, text: str, key: str, leaving: Callable[[], None]) -> Taken:
    """Send one text message to `to` (E.164). `key` says which message it is, so that a repeat is known as one. Raises Undelivered, which
    for a 422 is NotProcessed.

    Idempotency-Key: draft-ietf-httpapi-idempotency-key-header, a quoted string (RFC 9651). A gateway that does not know it ignores it.
    """
    headers = {
        "Content-Type": TYPES[gateway.kind],
        "Accept": "application/json",
        "Idempotency-Key": f'"{key}"',
    }
    try:
        headers |= header_of(gateway)
        body = filled(gateway, to, text)
    except BadTemplate as wrong:
        raise Undelivered(f"Settings of the gateway: {wrong}", way_is_shut=True) from wrong
    private = (gateway.secret, text, _in_json(text), to, to.lstrip("+"))
    return read(post(gateway.url, body.encode(), headers, leaving), *private)


def read(answer: Answer, *private: str) -> Taken:
    """What the gateway's answer means. Raises Undelivered where it did not take the message. `private`: what is not kept of its words."""
    said = words_of(answer, *private)
    if 200 <= answer.status < 300:
        return Taken(_id_in(answer), said)
    if answer.status == 429:
        raise Undelivered(said, Trouble.THROTTLED, wait=wait_of(answer.headers))
    if answer.status in ABOUT_US or answer.status < 400:  # a redirect would take the secret elsewhere
        raise Undelivered(said, way_is_shut=True)
    if answer.status in LATER or answer.status >= 500:
        raise Undelivered(said, wait=wait_of(answer.headers))
    if answer.status == 422:
        raise NotProcessed(said)
    raise Undelivered(said, Trouble.PERMANENT, no_such_address=answer.status in ABOUT_THE_NUMBER)


def filled(gateway: Gateway, to: str, text: str) -> str:
    """The body with its places filled. Raises BadTemplate where that is no JSON, or no form."""
    quote = _in_json if gateway.kind == TextGateway.Body.JSON else quote_plus
    body = PLACE.sub(lambda place: quote(_values(gateway, to, text)[place[1]]), gateway.body)
    _check_body(gateway.kind, body)
    return body


def header_of(gateway: Gateway) -> dict[str, str]:
    """The header that proves who we are: {name: value}, or nothing. Raises BadTemplate."""
    if not gateway.header:
        return {}
    name, colon, value = gateway.header.partition(":")
    if not (colon and HEADER_NAME.fullmatch(name) and value.strip()):
        raise BadTemplate("header", "no header")
    if name.lower() in OURS:
        raise BadTemplate("header", "ours")
    value = PLACE.sub(lambda place: _values(gateway, "", "")[place[1]], value.strip())
    if not (
        value.isascii() and value.isprintable()
    ):  # a line end here would begin a header of somebody else's
        raise BadTemplate("header", "not printable")
    return {name: value}


def words_of(answer: Answer, *private: str) -> str:
    """Status and beginning of an answer in one line, without our secrets and keys of private links, should they be repeated there."""
    text = answer.text
    for each in sorted(filter(None, private), key=len, reverse=True):
        text = text.replace(each, "…")
    text = KEY_IN_WORDS.sub("…", text)
    line = " ".join("".join(sign if sign.isprintable() else " " for sign in text[:600]).split())
    return f"{answer.status} {line}"[:300].strip()


def _values(gateway: Gateway, to: str, text: str) -> dict[str, str]:
    return {
        "to": to,
        "digits": to.lstrip("+"),
        "text": text,
        "sender": gateway.sender,
        "secret": gateway.secret,
        "basic": base64.b64encode(
            gateway.secret.encode()
        ).decode(),  # RFC 7617: the secret reads user:password
    }


def _in_json(value: str) -> str:
    """Between the quotation marks of a JSON string (RFC 8259 section 7)."""
    return json.dumps(value)[1:-1]


def _check_body(kind: str, body: str) -> None:
    try:
        if kind == TextGateway.Body.JSON:
            if not isinstance(json.loads(body), dict | list):
                raise ValueError(body)
        elif not parse_qsl(body, strict_parsing=True):
            raise ValueError(body)
    except ValueError as wrong:
        raise BadTemplate("body", "not readable") from wrong


def _id_in(answer: Answer) -> str:
    """What the gateway calls the message, where it says so in one of the usual places; else ""."""
    try:
        told: Any = json.loads(answer.text)
    except (ValueError, RecursionError):
        told = None
    if isinstance(told, dict):
        for name in NAMES_OF_AN_ID:
            if isinstance(told.get(name), str | int) and not isinstance(told[name], bool):
                return _tidy(str(told[name]))
    return _tidy(answer.headers.get("location", ""))


def _tidy(text: str) -> str:
    return "".join(sign for sign in text if sign.isprintable())[:LONGEST_ID]
