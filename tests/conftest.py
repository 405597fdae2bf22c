"""Fixtures that every part of the suite shares. The servers behind them are in tests/services.py."""

import gc
import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import redis
from django.db import connection
from hypothesis import settings as hypothesis_settings
from xdist.scheduler import LoadScopeScheduling

from jobs.triggers import unguard_evidence
from tests import services
from tests.cast import Cast, make_cast

# No test is timed: a busy machine is not a fault. Speed is measured by `make bench`. Before a change lands the same examples are tried
# each time, so that it is judged by what it changes; at a desk they are others every time.
hypothesis_settings.register_profile("house", deadline=None, derandomize=bool(os.environ.get("CI")))
hypothesis_settings.load_profile("house")

ROW_FIXTURES = {
    "db",
    "django_db_setup",
    "transactional_db",
    "django_db_reset_sequences",
    "django_db_serialized_rollback",
    "live_server",
}


# What these parts of the portal ask of rows, the actions and the models behind them ask too, and those are tested on both databases. The
# office stays: its lists are ordered, filtered and counted by the database. A page that meets it as such says `both`.
PAGES = tuple(f"tests/portal/{part}/" for part in ("bench", "customer", "door", "writing"))

# These look at one running workshop: in two processes it would be started twice.
DEMO = {
    f"tests/journeys/{name}.py" for name in ("test_demo", "test_pages", "test_scanner", "test_when_it_fails")
}


class WholeFiles(LoadScopeScheduling):
    """A process takes whole files, because module fixtures start servers and some files share what lies on the disk.

    pytest-xdist's own `loadgroup` has no effect with pytest 9.2, which does not let it rename tests.
    """

    def _split_scope(self, nodeid: str) -> str:
        file = nodeid.partition("::")[0]
        return "demo" if file in DEMO else file


def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> WholeFiles:
    return WholeFiles(config, log)


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """On PostgreSQL only what touches rows is run again, and no browser: pages do not change with the database.

    What waits for servers comes first, so that no process is left alone with it at the end.
    """
    on_postgres = os.environ.get("TEST_DATABASE") == "postgres"
    keep = [item for item in items if belongs(item, on_postgres)]
    config.hook.pytest_deselected(items=list(set(items) - set(keep)))
    items[:] = sorted(keep, key=lambda item: item.get_closest_marker("slow") is None)


def belongs(item: pytest.Item, on_postgres: bool) -> bool:
    if not on_postgres:
        return item.get_closest_marker("postgres") is None
    touches = item.get_closest_marker("django_db") or ROW_FIXTURES & set(getattr(item, "fixturenames", ()))
    elsewhere = item.get_closest_marker("browser") or item.get_closest_marker("sqlite")
    page = item.nodeid.startswith(PAGES) and item.get_closest_marker("both") is None
    return bool(touches) and elsewhere is None and not page


def pytest_collection_finish(session: pytest.Session) -> None:
    """What is loaded by now stays until the end: looking through it for rubbish again and again takes a twentieth of the time."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(100_000, 20, 20)


@pytest.fixture(autouse=True)
def media(settings: Any, tmp_path: Path) -> Path:
    """Every test has its own empty folder of photographs."""
    settings.MEDIA_ROOT = tmp_path / "media"
    settings.MEDIA_ROOT.mkdir()
    return tmp_path / "media"


@pytest.fixture(autouse=True)
def the_workshops_time() -> None:
    """Known beforehand, with its language, so that no test counts the query that would ask for it."""
    from portal import clock, languages

    clock.remember("Europe/London", seconds=600)
    languages.remember("en-gb", seconds=600)


@pytest.fixture(autouse=True)
def nothing_learned_before() -> None:
    """What a process has learned from past answers and keeps: another test's past is no part of this one's."""
    from jobs import answers_past
    from notifications.chasing import keeping

    answers_past._kept.clear()
    keeping._known_on.cache_clear()


@pytest.fixture(autouse=True)
def no_network_inside_a_transaction(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """SQLite has one write lock: whoever talks to the network while holding it stops the shop.

    Looked for in tests that commit; in the others the test itself is a transaction.
    """
    if not commits(request):
        return
    import socket

    connect = socket.socket.connect

    def guarded(self: socket.socket, address: Any) -> None:
        assert not connection.in_atomic_block, f"a connection to {address} was opened inside a transaction"
        connect(self, address)

    monkeypatch.setattr(socket.socket, "connect", guarded)


@pytest.fixture(autouse=True)
def evidence_can_be_emptied(request: pytest.FixtureRequest) -> Iterator[None]:
    """A test that commits is cleaned up by emptying every table, which the append-only triggers would refuse.

    They are laid again by `post_migrate`, which Django sends after emptying.
    """
    if not commits(request):
        yield
        return
    request.getfixturevalue("db")
    yield
    unguard_evidence()


def commits(request: pytest.FixtureRequest) -> bool:
    marker = request.node.get_closest_marker("django_db")
    asked = marker is not None and marker.kwargs.get("transaction", False)
    return bool(asked or {"transactional_db", "live_server"} & set(request.fixturenames))


@pytest.fixture
def cast(db: None) -> Cast:
    """The workshop with its people; see tests/cast.py."""
    return make_cast()


@pytest.fixture
def broker(settings: Any) -> Iterator[redis.Redis]:
    """The suite's real Valkey, emptied; answers a client to look into it with."""
    with redis.Redis.from_url(settings.BROKER_URL) as client:
        client.flushdb()
        yield client
        client.flushdb()


@pytest.fixture
def sink() -> Iterator[services.Sink]:
    """A real SMTP server that keeps letters and can be told to misbehave."""
    sink = services.Sink().open()
    yield sink
    sink.close()


@pytest.fixture
def mail_to_sink(sink: services.Sink, settings: Any) -> services.Sink:
    """Django's mail goes over a real SMTP conversation into the sink (pytest-django would put it into a list)."""
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", sink.controller.port
    return sink


@pytest.fixture
def start_worker(
    transactional_db: None, broker: redis.Redis, sink: services.Sink, tmp_path: Path, settings: Any
) -> Iterator[Callable[..., services.Worker]]:
    """Starts real Celery workers: `start_worker(queues="notify", EMAIL_TIMEOUT="2")`. Mail goes to `sink`."""
    workers: list[services.Worker] = []
    environment = {"SMTP_URL": sink.url, "VAR_DIR": str(tmp_path), "BROKER_URL": settings.BROKER_URL}

    def start(queues: str = "notify,media", **extra: str) -> services.Worker:
        worker = services.Worker(tmp_path / f"worker-{len(workers)}.log", queues, **environment | extra)
        workers.append(worker)
        return worker.start()

    yield start
    for worker in workers:
        worker.end()


@pytest.fixture(scope="session")
def chromium_path() -> str:
    """Where Chromium is. Skips with the reason where there is none."""
    found = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    if not found:
        pytest.skip(
            "no Chromium found (Debian: apt-get install chromium; elsewhere set CHROMIUM to its path)"
        )
    return found


@pytest.fixture(scope="session")
def chromium(chromium_path: str) -> Iterator[Any]:
    """A real Chromium, started once. `chromium.new_context(...)` makes a visitor."""
    from playwright.sync_api import sync_playwright

    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = (
        "1"  # playwright's loop runs in the test's thread; our queries are sync
    )
    quiet = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-sync"]
    quiet += ["--disable-background-networking", "--disable-component-update"]
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium_path, args=quiet)
        yield browser
        browser.close()
