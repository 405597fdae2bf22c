"""`manage.py run` for real: every process of the Procfile, on free ports, in a state folder of its own."""

import contextlib
import json
import re
import signal
import smtplib
import socket
import sqlite3
import subprocess
import sys
import urllib.error
import urllib.request
from dataclasses import dataclass
from pathlib import Path

import psutil
import pytest

from tests.portal.fresh import environment, python
from tests.services import ROOT, free_port, wait_until

pytestmark = [pytest.mark.slow, pytest.mark.worker]


class House:
    """A workshop started as its owner starts it."""

    def __init__(self, var, **extra):
        self.var, self.port = var, free_port()
        self.said = var.parent / f"{var.name}.txt"
        with self.said.open("w") as said:
            self.process = subprocess.Popen(
                [sys.executable, "manage.py", "run"],
                cwd=ROOT,
                env=environment(var, PORT=str(self.port), **extra),
                stdout=said,
                stderr=subprocess.STDOUT,
            )

    def wait(self):
        wait_until(lambda: self.has_spoken() or self.process.poll() is not None, 240, "the start")
        assert self.process.poll() is None, self.said.read_text()
        return self

    def has_spoken(self):
        return "Ctrl-C" in self.said.read_text()

    def get(self, path):
        """The answer's body, whatever its status, as a new visitor who keeps cookies on the way sees it."""
        visitor = urllib.request.build_opener(urllib.request.HTTPCookieProcessor())
        try:
            with visitor.open(f"http://127.0.0.1:{self.port}{path}", timeout=10) as answer:
                return answer.read()
        except urllib.error.HTTPError as answer:
            with answer:
                return answer.read()

    def children(self):
        return psutil.Process(self.process.pid).children(recursive=True)

    def interrupt(self):
        self.process.send_signal(signal.SIGINT)
        return self.process.wait(timeout=60)

    def log(self):
        return (self.var / "log" / "run.log").read_text()


@pytest.fixture(scope="module")
def house(tmp_path_factory):
    house = House(tmp_path_factory.mktemp("house") / "var", DEMO="0").wait()
    yield house
    house.interrupt()


def test_it_says_where_to_look_and_gives_the_one_time_key(house):
    said = house.said.read_text()
    assert f"http://localhost:{house.port}/bench/" in said
    key = re.search(rf"http://localhost:{house.port}/first-run/ with this one-time key: (\S+)", said)[1]
    assert key == (house.var / "first-run-key").read_text().strip()


def test_everything_answers_when_it_says_so(house):
    health = json.loads(house.get("/healthz"))
    assert health["well"]
    assert all(age is not None for age in health["pulse"].values())


def test_secrets_are_for_our_eyes_only(house):
    for name in ("secret-key", "broker-url", "first-run-key", "valkey/valkey.conf", "valkey/password"):
        assert (house.var / name).stat().st_mode & 0o077 == 0, name
    assert house.var.stat().st_mode & 0o077 == 0


def test_the_broker_asks_for_a_password_and_listens_on_this_machine_only(house):
    conf = (house.var / "valkey" / "valkey.conf").read_text()
    assert {"bind 127.0.0.1", "appendonly yes", "maxmemory-policy noeviction"} <= set(conf.splitlines())
    port = int(re.search(r"^port (\d+)", conf, re.MULTILINE)[1])
    with socket.create_connection(("127.0.0.1", port)) as line:
        line.sendall(b"PING\r\n")
        assert line.recv(100).startswith(b"-NOAUTH")


def test_static_files_have_lasting_names_and_come_compressed(house):
    manifest = json.loads((house.var / "static" / "staticfiles.json").read_text())
    name = manifest["paths"]["portal/htmx.min.js"]
    request = urllib.request.Request(
        f"http://127.0.0.1:{house.port}/static/{name}", headers={"Accept-Encoding": "gzip"}
    )
    with urllib.request.urlopen(request, timeout=10) as answer:
        assert answer.headers["Content-Encoding"] == "gzip"
        assert "immutable" in answer.headers["Cache-Control"]


def test_a_key_in_an_address_does_not_reach_the_log(house):
    key = "s3cret-" * 6
    house.get(f"/open/{key}/")
    wait_until(lambda: "/open/" in house.log(), what="the log line")
    assert key not in house.log()


def test_a_second_one_in_the_same_folder_is_told_how_to_stop_the_first(house):
    done = python("manage.py", "run", var=house.var, PORT=str(free_port()), DEMO="0")
    assert done.returncode == 1
    assert re.fullmatch(
        rf"CommandError: Benchletter runs from .* already\. Stop it first \(kill {house.process.pid}.*\n",
        done.stderr,
    )


def test_the_letterbox_takes_letters(house):
    port = int(re.search(r"letterbox listens on 127.0.0.1:(\d+)", house.log())[1])
    with smtplib.SMTP("127.0.0.1", port) as smtp:
        smtp.sendmail("workshop@example.org", ["ada@example.org"], b"Subject: hello\r\n\r\n")
    assert [file.read_bytes() for file in (house.var / "letterbox").glob("*.eml")] == [
        b"Subject: hello\r\n\r\n"
    ]


def test_beat_sends_the_sweeps_and_a_worker_does_them(house):
    with contextlib.closing(sqlite3.connect(house.var / "benchletter.sqlite3")) as rows:
        swept = "SELECT name FROM notifications_sweeplease WHERE name = 'sweep'"
        wait_until(lambda: rows.execute(swept).fetchone(), 40, "a sweep")


@dataclass
class Ended:
    """A workshop that was started, looked at and interrupted."""

    var: Path
    started: list[psutil.Process]
    status: int
    bystander: int | None
    kept: dict[str, str]


@pytest.fixture(scope="module")
def ended(tmp_path_factory):
    bystander = subprocess.Popen([sys.executable, "-c", "import time; time.sleep(60)"])
    house = House(tmp_path_factory.mktemp("ended") / "var", DEMO="0").wait()
    started = house.children()
    status = house.interrupt()
    yield Ended(house.var, started, status, bystander.poll(), keys_in(house.var))
    bystander.kill()
    bystander.wait()


def keys_in(var):
    return {name: (var / name).read_text() for name in ("secret-key", "first-run-key")}


@pytest.fixture(scope="module")
def again(ended):
    """The same workshop on its second day."""
    house = House(ended.var, DEMO="0").wait()
    yield house
    house.interrupt()


def test_ctrl_c_stops_everything_it_started_and_nothing_else(ended):
    assert ended.status == 0
    assert not [process for process in ended.started if process.is_running()]
    assert ended.bystander is None


def test_a_second_run_keeps_what_the_first_made(ended, again):
    assert keys_in(again.var) == ended.kept


def test_when_one_part_ends_by_itself_the_rest_is_stopped_and_the_reason_shown(again):
    beat = next(child for child in again.children() if "beat" in child.cmdline())
    beat.kill()
    assert again.process.wait(timeout=60) != 0
    assert "ended by itself" in again.said.read_text()


def test_a_port_in_use_is_told_with_the_way_out(tmp_path):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        done = python("manage.py", "run", var=tmp_path / "var", PORT=str(port), DEMO="0")
    assert done.returncode == 1
    assert done.stderr == f"CommandError: Port {port} is in use. Choose another: make run PORT={port + 1}\n"


def test_a_database_that_does_not_answer_is_told_in_one_line(tmp_path):
    nowhere = f"postgresql://nobody@127.0.0.1:{free_port()}/nothing"
    done = python("manage.py", "run", var=tmp_path / "var", PORT=str(free_port()), DATABASE_URL=nowhere)
    assert done.stderr.startswith("CommandError: The database does not answer: ")
    assert done.stderr.count("\n") == 1


def test_a_folder_that_cannot_be_written_is_told_with_the_way_out(tmp_path):
    (tmp_path / "file").write_text("root may write anywhere, but not below a file")
    done = python("manage.py", "run", var=tmp_path / "file" / "var", DEMO="0")
    assert done.returncode == 1
    assert done.stderr.startswith("Benchletter cannot write to ")
    assert done.stderr.count("\n") == 1


def test_make_hands_the_port_on(tmp_path):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        done = subprocess.run(
            ["make", "run", f"PORT={port}", f"VAR_DIR={tmp_path / 'var'}", "DEMO=0"],
            cwd=ROOT,
            env=environment(tmp_path),
            capture_output=True,
            text=True,
            timeout=120,
        )
    assert f"Port {port} is in use" in done.stderr
