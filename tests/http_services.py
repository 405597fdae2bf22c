"""A real HTTP server that misbehaves as told: it stands for a gateway of text messages, and for a push service."""

import ssl
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any


@dataclass
class Heard:
    """One request as it came."""

    path: str
    headers: dict[str, str]
    body: bytes


@dataclass
class Other:
    """The other side. `status`, `answer` and `headers` are what it says; mode "hang" says nothing until it is let go, "drop" hangs up when
    it has the body, "early" hangs up before it has read it.
    """

    status: int = 200
    answer: bytes = b'{"id": "m-1"}'
    headers: dict[str, str] = field(default_factory=dict)
    mode: str = "ok"
    heard: list[Heard] = field(default_factory=list)
    lines: int = 0  # connections that were opened
    let_go: threading.Event = field(default_factory=threading.Event)
    url: str = ""

    @property
    def bodies(self) -> list[bytes]:
        return [each.body for each in self.heard]


@contextmanager
def other_side(certificate: tuple[Path, Path] | None = None) -> Iterator[Other]:
    """The server, running. `certificate`: chain and key for TLS."""
    other = Other()
    server = Server(("127.0.0.1", 0), Handler)
    server.other = other
    if certificate:
        tls = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        tls.load_cert_chain(*certificate)
        server.socket = tls.wrap_socket(server.socket, server_side=True, do_handshake_on_connect=False)
    other.url = f"{'https' if certificate else 'http'}://127.0.0.1:{server.server_port}/send"
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02})
    thread.start()
    try:
        yield other
    finally:
        other.let_go.set()
        server.shutdown()
        thread.join()
        server.server_close()


class Server(ThreadingHTTPServer):
    daemon_threads = True
    other: Other

    def process_request(self, request: Any, client_address: Any) -> None:
        self.other.lines += 1
        super().process_request(request, client_address)

    def handle_error(self, request: Any, client_address: Any) -> None:
        """Whoever hangs up on us does so on purpose."""


class Handler(BaseHTTPRequestHandler):
    server: Server

    def do_POST(self) -> None:
        other = self.server.other
        if other.mode == "early":
            return self.connection.close()
        body = self.rfile.read(int(self.headers.get("Content-Length") or 0))
        other.heard.append(Heard(self.path, {k.lower(): v for k, v in self.headers.items()}, body))
        if other.mode == "hang":
            other.let_go.wait(30)
        if other.mode in ("hang", "drop"):
            return self.connection.close()
        self.send_response(other.status)
        for name, value in other.headers.items():
            self.send_header(name, value)
        self.send_header("Content-Length", str(len(other.answer)))
        self.end_headers()
        self.wfile.write(other.answer)
        return None

    do_GET = do_POST  # noqa: N815

    def log_message(self, format: str, *args: Any) -> None:
        """Quiet."""
