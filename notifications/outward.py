"""Requests to addresses that people gave us: a gateway that the owner typed in, a push service that a browser named.

Such an address could lead anywhere, also into the house's own network, where a server trusts whoever is inside. So (OWASP calls it
server-side request forgery):

- https only, with the certificate looked at; no redirects, no proxy and no passwords from the environment;
- the address that was really connected to is looked at once the line stands, before a byte of ours is sent. A look at the name alone
  would not do, because a name can lead elsewhere a moment later. Private, local and reserved addresses are hung up on;
- this machine itself, and there plain http, only for development and the demo, whose gateway is a page of its own.
"""

import socket
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from email.utils import parsedate_to_datetime
from io import BytesIO
from ipaddress import IPv6Address, ip_address
from typing import Any
from urllib.parse import urlsplit

import requests
from django.conf import settings
from django.utils import timezone
from requests.adapters import HTTPAdapter
from urllib3 import HTTPConnectionPool, HTTPSConnectionPool
from urllib3.connection import HTTPConnection, HTTPSConnection
from urllib3.exceptions import HTTPError

from notifications.channels.base import Trouble, Undelivered

TIMEOUT = (5.0, 10.0)  # seconds: until the line stands, and between two bytes of the answer
MOST_OF_AN_ANSWER = 64_000  # bytes; what a gateway says beyond that is not read
LONGEST_WAIT = 24 * 3600.0  # seconds; more than a day nobody may ask of us


class NotAllowed(OSError):
    """An address that we do not talk to. An OSError, so that urllib3 takes it for a connection that failed."""


@dataclass(frozen=True)
class Answer:
    """What the other side said: status, headers (names in lower case) and the beginning of the body as text."""

    status: int
    headers: dict[str, str]
    text: str


def check(url: str) -> str:
    """`url`, if it is one that we would ask. Raises NotAllowed; what its name leads to is only known when it is asked."""
    parts = urlsplit(url)
    if not parts.hostname or parts.username or parts.password or parts.fragment:
        raise NotAllowed(url)
    if parts.scheme == "http" and at_home_too() and is_this_machine(parts.hostname):
        return url
    if parts.scheme != "https" or _is_forbidden(parts.hostname):
        raise NotAllowed(url)
    return url


def at_home_too() -> bool:
    """Whether this machine may be asked: in development, and in the demo."""
    return bool(settings.DEBUG or settings.DEMO)


def post(url: str, body: bytes, headers: dict[str, str], leaving: Callable[[], None]) -> Answer:
    """Post `body`, calling `leaving` just before its first byte goes. Raises Undelivered where there was no answer."""
    with Line(leaving) as line:
        try:
            response = line.post(url, data=body, headers=headers)
        except (requests.RequestException, OSError, ValueError) as problem:
            raise line_failed(problem, line.has_left) from problem
    told = {name.lower(): value for name, value in response.headers.items()}
    return Answer(response.status_code, told, response.text)


def line_failed(problem: Exception, has_left: bool) -> Undelivered:
    """What it means that no answer came. Once the body began to leave, the other side may have taken it."""
    if has_left:
        return Undelivered(_words(problem), Trouble.AMBIGUOUS)
    return Undelivered(_words(problem), Trouble.TEMPORARY, way_is_shut=True)


def wait_of(headers: Any, now: datetime | None = None) -> float | None:
    """Seconds that a Retry-After asks for (RFC 9110 section 10.2.3: a number, or a date); None where it says nothing sensible."""
    said = str(headers.get("retry-after") or headers.get("Retry-After") or "").strip()
    if said.isascii() and said.isdecimal() and len(said) < 10:
        return min(float(said), LONGEST_WAIT)
    try:
        until = parsedate_to_datetime(said)
    except (ValueError, TypeError):
        return None
    until = until if until.tzinfo else until.replace(tzinfo=UTC)
    seconds = (until - (now or timezone.now())).total_seconds()
    return min(max(seconds, 0.0), LONGEST_WAIT)


class Line(requests.Session):
    """A session of requests that keeps to the rules above and knows whether a body began to leave (`has_left`)."""

    def __init__(self, leaving: Callable[[], None] = lambda: None) -> None:
        super().__init__()
        self.trust_env = False
        self.headers["User-Agent"] = "Benchletter"
        self.has_left = False
        self._leaving = leaving
        for scheme in ("https://", "http://"):
            self.mount(scheme, _Guarded())

    def request(self, method: Any, url: Any, *args: Any, **more: Any) -> requests.Response:
        more |= {"allow_redirects": False, "stream": True, "verify": True, "timeout": TIMEOUT}
        if isinstance(more.get("data"), bytes):
            more["data"] = _Body(more["data"], self._tell)
        response = super().request(method, check(str(url)), *args, **more)
        response._content, response.encoding = _beginning_of(response), "utf-8"
        response.close()
        return response

    def _tell(self) -> None:
        if not self.has_left:
            self._leaving()
            self.has_left = True


def _beginning_of(response: requests.Response) -> bytes:
    """The first of what it says; nothing where that cannot be read. The status is its word, whatever becomes of the rest."""
    try:
        read: bytes = response.raw.read(MOST_OF_AN_ANSWER, decode_content=True)
    except (HTTPError, OSError):
        return b""
    return read


class _Body(BytesIO):
    """Bytes that say when they are first read. http.client reads a body when the headers are out, and not before the line stands."""

    def __init__(self, body: bytes, tell: Callable[[], None]) -> None:
        super().__init__(body)
        self._tell = tell

    def read(self, size: int | None = -1, /) -> bytes:
        self._tell()
        return super().read(size)


def _words(problem: Exception) -> str:
    """The problem's name and its innermost words, without the address, which may hold what is nobody's business."""
    inner: BaseException = problem
    while (deeper := _within(inner)) is not None:
        inner = deeper
    said = str(inner) if isinstance(inner, OSError) and not isinstance(inner, NotAllowed) else ""
    return f"{type(inner).__name__}: {said}"[:200].rstrip(": ")


def _within(problem: BaseException) -> BaseException | None:
    for inner in (getattr(problem, "reason", None), *problem.args, problem.__cause__):
        if isinstance(inner, BaseException):
            return inner
    return None


def is_this_machine(host: str) -> bool:
    if host == "localhost":
        return True
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return False


def _is_forbidden(host: str) -> bool:
    """Whether an address as such, without asking a name server, is one that we do not talk to."""
    if is_this_machine(host):
        return not at_home_too()
    try:
        address = ip_address(host.partition("%")[0])
    except ValueError:
        return False
    if isinstance(address, IPv6Address):
        address = address.ipv4_mapped or address.sixtofour or address
    return not address.is_global or address.is_multicast


def _look_at(line: socket.socket) -> socket.socket:
    """Hang up where the line leads into a private network. Before TLS, so that nothing of ours has been said."""
    if _is_forbidden(str(line.getpeername()[0])):
        line.close()
        raise NotAllowed("private address")
    return line


class _HTTPS(HTTPSConnection):
    def _new_conn(self) -> socket.socket:
        return _look_at(super()._new_conn())


class _HTTP(HTTPConnection):
    def _new_conn(self) -> socket.socket:
        return _look_at(super()._new_conn())


class _HTTPSPool(HTTPSConnectionPool):
    ConnectionCls = _HTTPS


class _HTTPPool(HTTPConnectionPool):
    ConnectionCls = _HTTP


class _Guarded(HTTPAdapter):
    """Uses the connections above, and tries nothing twice: whether to try again is for the letter to decide."""

    def __init__(self) -> None:
        super().__init__(max_retries=0)

    def init_poolmanager(self, *args: Any, **kwargs: Any) -> None:
        super().init_poolmanager(*args, **kwargs)
        self.poolmanager.pool_classes_by_scheme = {"https": _HTTPSPool, "http": _HTTPPool}
