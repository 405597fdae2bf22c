"""The processes of the Procfile under one roof."""

import os
import signal
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import IO

from django.conf import settings
from honcho import manager as honcho
from honcho.environ import parse_procfile
from honcho.printer import Printer

LARGEST_LOG = 5_000_000  # bytes
LAST_WORDS = 12  # lines of the log shown when a process ends by itself
ON_REQUEST = {130, 143}  # statuses of a house that was told to stop

honcho.KILL_WAIT = 30  # seconds until what does not stop is killed; a letter on its way gets 20


class LeadersFirst:
    """Asks a process to stop without touching its children.

    honcho signals whole groups. A Celery worker's child would be cut off in mid-letter; the worker itself lets it finish.
    """

    def terminate(self, pid: int) -> None:
        self.signal(os.kill, pid, signal.SIGTERM)

    def kill(self, pid: int) -> None:
        self.signal(os.killpg, pid, signal.SIGKILL)

    def signal(self, send: Callable[[int, int], None], pid: int, number: int) -> None:
        with suppress(ProcessLookupError):
            send(pid, number)


class House(honcho.Manager):
    """Every process that is needed: no broker or letterbox of our own where the environment names another."""

    def __init__(self, environment: dict[str, str], log: IO[str]) -> None:
        super().__init__(Printer(log, time_format="%Y-%m-%d %H:%M:%S", colour=False))
        self._procmgr = LeadersFirst()
        self.log = Path(log.name)
        elsewhere = {"broker": "BROKER_URL" in os.environ, "letterbox": "SMTP_URL" in os.environ}
        for name, command in parse_procfile((settings.BASE_DIR / "Procfile").read_text()).processes.items():
            if not elsewhere.get(name):
                self.add_process(name, command, env=environment, cwd=str(settings.BASE_DIR))

    def is_stopping(self) -> bool:
        return self._terminating

    def pids(self) -> list[int]:
        return [process["pid"] for process in self._processes.values() if "pid" in process]

    def verdict(self, say: Callable[[str], object]) -> int:
        """Exit status: 0 after Ctrl-C or SIGTERM. Where a process ended by itself, says which and shows the log's end."""
        if self.returncode in ON_REQUEST:
            say("Stopped.")
            return 0
        say(f"A part of Benchletter ended by itself, so everything was stopped. The end of {self.log}:")
        for line in self.log.read_text().splitlines()[-LAST_WORDS:]:
            say(f"  {line}")
        return self.returncode or 1


def open_log(path: Path) -> IO[str]:
    """The log to append to; a long one is put aside as `.1` first."""
    if path.exists() and path.stat().st_size > LARGEST_LOG:
        path.replace(path.with_name(path.name + ".1"))
    return path.open("a")
