"""What `make run` does: prepare the house, start its processes, wait until they answer, say where to look.

The processes and their commands stand in the Procfile; honcho starts, watches and stops them (portal/house.py). What
they say goes to VAR_DIR/log/run.log, so that the terminal keeps the addresses in sight.
"""

import fcntl
import json
import logging
import os
import socket
import sys
import threading
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from io import StringIO
from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import SystemCheckError
from django.db import OperationalError, connections, transaction

from portal import broker, celery_app, state
from portal.house import House, open_log
from portal.schedule import QUEUES

Say = Callable[[str], object]
Environment = dict[str, str]

PATIENCE = 90.0  # seconds until everything has to answer


class CannotRun(Exception):
    """One line for the person at the terminal: what is in the way and what to do."""


def run(say: Say) -> int:
    """Runs until it is told to stop. Answers the exit status. Raises CannotRun."""
    with only_one(settings.VAR_DIR / "run.lock") as note_pids:
        if not is_free(settings.PORT):
            raise CannotRun(
                f"Port {settings.PORT} is in use. Choose another: make run PORT={settings.PORT + 1}"
            )
        environment = prepare(say)
        connections.close_all()
        with open_log(settings.VAR_DIR / "log" / "run.log") as log:
            house = House(environment, log)
            threading.Thread(target=announce, args=(house, environment, note_pids, say), daemon=True).start()
            house.loop()
            return house.verdict(say)


@contextmanager
def only_one(lock: Path) -> Iterator[Callable[[list[int]], None]]:
    """Two houses in one state folder would write over each other. The processes we start hold the lock with us."""
    with lock.open("a+") as file:

        def note(pids: list[int]) -> None:
            file.truncate(0)
            file.write(" ".join(map(str, pids)) + "\n")
            file.flush()

        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            raise CannotRun(
                f"Benchletter runs from {lock.parent} already. Stop it first (kill {lock.read_text().strip()}), "
                "or choose another folder with VAR_DIR=..."
            ) from None
        note([os.getpid()])
        yield note


def is_free(port: int) -> bool:
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind(("127.0.0.1", port))
        except OSError:
            return False
        return True


def free_port() -> int:
    """A port that nobody uses, chosen by the system: two houses that start at once do not meet."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


# --- before anything starts -----------------------------------------------------------------------------------------


def prepare(say: Say) -> Environment:
    """Database, static files, demo and secrets. Answers the environment that the processes get."""
    environment = os.environ | {
        "VAR_DIR": str(settings.VAR_DIR),
        "PORT": str(settings.PORT),
        "PATH": f"{Path(sys.executable).parent}{os.pathsep}{os.environ.get('PATH', '')}",
        "PYTHONUNBUFFERED": "1",
    }
    migrate()
    call_command("collectstatic", interactive=False, verbosity=0)
    environment["DEMO"] = "1" if furnish(say) else "0"
    if "BROKER_URL" not in os.environ:
        _, url = broker.prepare(settings.VAR_DIR / "valkey", free_port())
        state.replace_secret(settings.VAR_DIR / "broker-url", url)
        environment["BROKER_URL"] = url
    if "LETTERBOX_PORT" not in os.environ:
        environment["LETTERBOX_PORT"] = str(free_port())
    return environment


def migrate() -> None:
    from portal.models import Pulse

    try:
        call_command("migrate", interactive=False, verbosity=0)
        call_command("check", databases=["default"], stdout=StringIO())
    except OperationalError as error:
        raise CannotRun(f"The database does not answer: {str(error).splitlines()[0]}") from None
    except SystemCheckError as error:
        raise CannotRun(str(error)) from None
    Pulse.objects.all().delete()  # what was felt yesterday says nothing about today's processes


def furnish(say: Say) -> bool:
    """Loads the demo into an empty workshop where it is wanted. Answers whether this workshop is the demo."""
    from notifications.demo_ways import stand_here  # models are there only once the apps are loaded

    marker = settings.VAR_DIR / "demo"
    if is_empty():
        marker.unlink(missing_ok=True)
        if settings.DEMO:
            say("Setting up the demo workshop. This happens once.")
            load_demo(marker)
    elif marker.exists() and not settings.DEMO:
        raise CannotRun(
            f"{settings.VAR_DIR} holds the demo workshop. For one of your own choose another folder: "
            "make run DEMO=0 VAR_DIR=..."
        )
    if marker.exists():
        stand_here()
    return marker.exists()


def load_demo(marker: Path) -> None:
    """All of it or nothing: half a demo would look like somebody's workshop the next time."""
    logging.disable(
        logging.WARNING
    )  # no broker to wake yet, which is no news: the first sweep finds the letters
    with transaction.atomic():
        call_command("load_demo", verbosity=0)
        marker.touch()
    logging.disable(logging.NOTSET)


def is_empty() -> bool:
    from jobs.models import Job, Staff

    return not Staff.objects.exists() and not Job.objects.exists()


# --- once it runs ---------------------------------------------------------------------------------------------------


def announce(
    house: House, environment: Environment, note_pids: Callable[[list[int]], None], say: Say
) -> None:
    """Waits until every part has answered, then says where to look."""
    deadline = time.monotonic() + PATIENCE
    pulsed = False
    while not house.is_stopping():
        health = ask_health()
        pulsed = pulsed or (health.get("broker", False) and send_pulses(environment["BROKER_URL"]))
        if health and all(age is not None for age in health["pulse"].values()):
            note_pids([os.getpid(), *house.pids()])
            return say("\n".join(welcome(environment)))
        if time.monotonic() > deadline:
            say(f"Something does not answer after {PATIENCE:.0f} seconds: {health or 'the web server'}.")
            return say(f"Look into {settings.VAR_DIR / 'log' / 'run.log'}. Stop with Ctrl-C.")
        time.sleep(0.3)
    return None


def ask_health() -> dict[str, object]:
    """What /healthz says, well or not; empty where the web server does not answer yet."""
    request = urllib.request.Request(f"http://127.0.0.1:{settings.PORT}/healthz")
    request.add_header("Host", settings.PUBLIC.netloc)
    try:
        with urllib.request.urlopen(request, timeout=5) as answer:  # noqa: S310  (http, written above)
            return json.load(answer)
    except urllib.error.HTTPError as answer:
        return json.load(answer) if answer.code == 503 else {}
    except OSError:
        return {}


def send_pulses(url: str) -> bool:
    """Beat sends its first pulse after a minute; this one goes the same road at once."""
    with celery_app.connection_for_write(url) as connection:
        for queue in QUEUES:
            celery_app.send_task(
                "portal.pulse", [queue], queue=queue, connection=connection, expires=PATIENCE
            )
    return True


def welcome(environment: Environment) -> list[str]:
    """The lines at the end of the start."""
    base = settings.PUBLIC_BASE_URL
    lines = ["", "Benchletter runs.", ""]
    lines += [f"  {who:<12}{base}{path}" for who, path in places(environment["DEMO"] == "1")]
    lines += ["", *keys_to_the_door(environment["DEMO"] == "1"), ""]
    return [*lines, f"What its parts say is in {settings.VAR_DIR / 'log' / 'run.log'}. Ctrl-C stops it.", ""]


def places(demo: bool) -> list[tuple[str, str]]:
    rest = [("Letterbox", "/letterbox/")] if demo else []
    return [("Customers", "/"), ("Bench", "/bench/"), ("Office", "/office/"), *rest]


def keys_to_the_door(demo: bool) -> list[str]:
    """The demo's logins and private links, or the one-time key of a workshop that nobody owns yet."""
    if demo:
        from jobs import demo as scenario

        return [f"  {line}" for line in scenario.doors()]
    if is_empty():
        begin = f"{settings.PUBLIC_BASE_URL}/first-run/"
        return [f"  Begin at {begin} with this one-time key: {state.first_run_key()}"]
    return []
