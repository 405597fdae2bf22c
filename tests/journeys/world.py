"""The whole workshop as its owner runs it: `manage.py run`, with a state folder of its own and our mail server at its door."""

import atexit
import email
import email.policy
import re
import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
from contextlib import closing
from dataclasses import dataclass, field
from email.message import EmailMessage
from functools import cache
from pathlib import Path

from aiosmtpd.smtp import SMTP, Envelope, Session

from tests.portal.fresh import environment
from tests.services import ROOT, Sink, free_port, wait_until

PHOTOS = ROOT / "jobs/demo/photos"
SHOTS = ROOT / "var/shots"
LINK = re.compile(r"http://\S+/open/[\w-]+")


@dataclass
class Post(Sink):
    """What the workshop sent, over real SMTP. Letters to an address in `refused_to` are turned away for good."""

    refused_to: set[str] = field(default_factory=set)

    async def handle_DATA(self, server: SMTP, session: Session, envelope: Envelope) -> str:  # noqa: N802
        if self.refused_to & set(envelope.rcpt_tos):
            self.refused += 1
            return "550 nobody of that name here"
        return await super().handle_DATA(server, session, envelope)

    def read(self) -> list[EmailMessage]:
        return [email.message_from_bytes(raw, policy=email.policy.default) for raw in list(self.letters)]

    def to(self, address: str, about: str) -> list[EmailMessage]:
        """Letters to `address` with `about` in the subject, oldest first."""
        return [each for each in self.read() if address in each["To"] and about in each["Subject"]]

    def wait_for(self, address: str, about: str, seconds: float = 25) -> EmailMessage:
        """The newest such letter, as soon as there is one."""
        return wait_until(lambda: self.to(address, about), seconds, f"a letter to {address} about {about!r}")[
            -1
        ]


def plain_text(letter: EmailMessage) -> str:
    part = letter.get_body(preferencelist=("plain",))
    assert part is not None, "the letter has no plain text"
    return part.get_content()


def private_link(letter: EmailMessage) -> str:
    """The one link of a letter that opens the job's page."""
    found = set(LINK.findall(plain_text(letter)))
    assert len(found) == 1, found
    return found.pop()


class World:
    """Web server, workers, beat and broker, started by the one command. `demo`: furnished, or empty as on the first day."""

    def __init__(self, demo: bool) -> None:
        self.folder = Path(tempfile.mkdtemp(prefix="benchletter-house-"))
        self.var, self.port, self.post = self.folder / "var", free_port(), Post()
        self.post.open()
        self.url = f"http://localhost:{self.port}"
        mail = {} if demo else {"SMTP_URL": self.post.url}  # the demo keeps its letters in its own letterbox
        with (self.folder / "said.txt").open("w") as said:
            self.process = subprocess.Popen(
                [sys.executable, "manage.py", "run"],
                cwd=ROOT,
                env=environment(self.var, PORT=str(self.port), DEMO=str(int(demo)), **mail),
                stdout=said,
                stderr=subprocess.STDOUT,
            )
        atexit.register(self.close)
        wait_until(self.has_started, 240, "the start")

    def has_started(self) -> bool:
        assert self.process.poll() is None, self.said
        return "Ctrl-C" in self.said

    @property
    def said(self) -> str:
        return (self.folder / "said.txt").read_text()

    @property
    def database(self) -> Path:
        return self.var / "benchletter.sqlite3"

    def all_is_sent(self) -> bool:
        """Whether every entry of the journal is dealt with and every letter that is due on its way."""
        with closing(sqlite3.connect(f"file:{self.database}?mode=ro", uri=True)) as rows:
            unread = (
                "SELECT count(*) FROM jobs_entry WHERE id NOT IN (SELECT entry_id FROM notifications_read)"
                " AND id > coalesce((SELECT max(up_to) FROM notifications_floor), 0)"
            )
            waiting = (
                "SELECT count(*) FROM notifications_letter WHERE state = 'sending' OR"
                " (state = 'waiting' AND next_attempt_at <= strftime('%Y-%m-%d %H:%M:%f', 'now'))"
            )
            return not any(rows.execute(question).fetchone()[0] for question in (unread, waiting))

    def links(self) -> list[str]:
        """Private links that the terminal showed."""
        return LINK.findall(self.said)

    def one_time_key(self) -> str:
        return (self.var / "first-run-key").read_text().strip()

    def close(self) -> None:
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGINT)
            self.process.wait(timeout=60)
            self.post.close()
            shutil.rmtree(self.folder, ignore_errors=True)


@cache
def empty_house() -> World:
    """A workshop that nobody owns yet. One for the whole run of tests, stopped when it ends."""
    return World(demo=False)


@cache
def demo_house() -> World:
    """The demo workshop, likewise, once its letters are sent."""
    world = World(demo=True)
    wait_until(world.all_is_sent, 240, "the sending of the demo's letters")
    return world
