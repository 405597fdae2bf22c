"""Real Celery workers, a real Valkey, a real mail server: killed, frozen and emptied one at a time, and no letter is lost.

All of it at once is in tests/chaos.
"""

import base64
import re
import sys
import time
from collections import Counter
from datetime import timedelta
from zoneinfo import ZoneInfo

import pytest
from django.db.models import F
from django.urls import reverse
from django.utils import timezone

from jobs import journal, waking
from jobs.actions.linking import issue_link
from notifications import relay, tasks
from notifications.models import Letter, SweepLease
from portal.celery import app
from tests import services
from tests.cast import make_cast
from tests.notifications.scenes import letter_of
from tests.services import wait_until

pytestmark = [pytest.mark.worker, pytest.mark.slow, pytest.mark.django_db(transaction=True)]
LONG_AGO = timedelta(minutes=10)


class SlowDoor(services.Sink):
    """Takes its time over the recipient, before any content is asked for."""

    seconds = 0.0
    asked = 0

    async def handle_RCPT(self, server, session, envelope, address, options):  # noqa: N802
        import asyncio

        self.asked += 1
        await asyncio.sleep(self.seconds)
        envelope.rcpt_tos.append(address)
        return "250 ok"


@pytest.fixture
def sink():
    sink = SlowDoor().open()
    yield sink
    sink.close()


@pytest.fixture(autouse=True)
def broker_is_awake(monkeypatch):
    """An earlier test's silence towards a dead broker must not reach into this one."""
    monkeypatch.setattr(waking, "_quiet_until", 0.0)


def test_a_day_in_a_worker_is_the_workshops_day(start_worker):
    """Between these two clocks lies more than a day, at any hour: by the machine's, the quote could still be answered."""
    cast = make_cast(time_zone="Pacific/Kiritimati")
    job = cast.job_at("quoted")
    yesterday = timezone.localdate(timezone=ZoneInfo("Pacific/Kiritimati")) - timedelta(days=1)
    job.quotes.update(valid_until=yesterday)
    start_worker(queues="notify", TIME_ZONE="Etc/GMT+12")
    tasks.lapse_quotes.apply_async(queue="notify")
    wait_until(lambda: job.quotes.get().state == "lapsed", 20, "the end of the quote")


def as_if_time_had_passed() -> None:
    """Ten minutes later, as far as rows can tell: leases have run out and waits are over."""
    SweepLease.objects.update(until=timezone.now() - LONG_AGO)
    letters = Letter.objects.all()
    letters.update(lease_until=F("lease_until") - LONG_AGO, woken_at=F("woken_at") - LONG_AGO)
    letters.update(next_attempt_at=F("next_attempt_at") - LONG_AGO)


def sweep_until_sent(seconds: float = 30) -> None:
    """What beat does, in fast motion."""

    def all_sent() -> bool:
        as_if_time_had_passed()
        tasks.sweep.apply_async()
        time.sleep(0.4)
        unsent = Letter.objects.exclude(state__in=["sent", "skipped"])
        return not relay.unread().exists() and not unsent.exists()

    wait_until(all_sent, seconds, "the letters' delivery")


def identities(sink: services.Sink) -> Counter[str]:
    return Counter(re.search(rb"(?m)^Message-ID: (\S+)", mail)[1].decode() for mail in sink.letters)


def test_a_booking_is_on_its_way_without_anybody_waiting_for_a_sweep(start_worker, sink):
    start_worker("notify")
    job = make_cast().book()
    wait_until(lambda: sink.letters, 30, "the letter")
    wait_until(lambda: letter_of(job, "booked").state == "sent", 30, "its note")


def test_a_worker_killed_while_the_mail_server_holds_the_letter_loses_nothing(start_worker, sink):
    """The server has it and never said so: the one case in which a second copy cannot be avoided, with the same identity."""
    worker = start_worker("notify", EMAIL_TIMEOUT="20")
    sink.delay = 60
    sink.behave("slow", spells=1)
    job = make_cast().book()
    wait_until(lambda: sink.letters, 30, "the first copy")
    worker.kill()
    letter = letter_of(job, "booked")
    assert letter.state == "sending"
    assert letter.handed_at is not None
    start_worker("notify")
    sweep_until_sent()
    assert list(identities(sink).values()) == [2]


def test_a_worker_killed_before_the_letter_left_delivers_it_once(start_worker, sink):
    worker = start_worker("notify", EMAIL_TIMEOUT="20")
    sink.seconds = 60
    job = make_cast().book()
    wait_until(lambda: sink.asked, 30, "the dialogue")
    worker.kill()
    assert letter_of(job, "booked").handed_at is None
    sink.seconds = 0
    start_worker("notify")
    sweep_until_sent()
    assert list(identities(sink).values()) == [1]


def test_the_child_that_runs_the_task_killed_for_its_memory_loses_nothing(start_worker, sink):
    worker = start_worker("notify", EMAIL_TIMEOUT="20")
    sink.seconds = 60
    make_cast().book()
    wait_until(lambda: sink.asked, 30, "the dialogue")
    worker.kill_child()
    sink.seconds = 0
    sweep_until_sent()
    assert list(identities(sink).values()) == [1]


def test_a_broker_that_forgot_everything_loses_nothing(start_worker, sink, broker):
    """Emptied between the wake-up and the worker."""
    make_cast().book()
    broker.flushdb()
    start_worker("notify")
    sweep_until_sent()
    assert list(identities(sink).values()) == [1]


class Beat(services.Worker):
    """A real `celery beat` process with the real timetable."""

    def __init__(self, log, **environment):
        super().__init__(log, **environment)
        self.command = [sys.executable, "-m", "celery", "--app", "portal", "beat"]
        self.command += ["--schedule", f"{log}.schedule", "--pidfile", ""]

    def is_ready(self):
        return self.process.poll() is None


def test_two_real_beats_do_the_work_once(start_worker, sink, settings, tmp_path, monkeypatch):
    """Nobody wakes the relay: only the timetable's sweep, sent by two beats at once, finds the entry."""
    monkeypatch.setattr(journal, "wakers", [])
    start_worker("notify")
    make_cast().job_at("arrived")
    beats = [
        Beat(tmp_path / f"beat-{n}", VAR_DIR=str(tmp_path), BROKER_URL=settings.BROKER_URL) for n in (1, 2)
    ]
    try:
        for beat in beats:
            beat.start()
        wait_until(lambda: len(sink.letters) == 2, 40, "two letters")
        time.sleep(11)  # the next sweep of both
    finally:
        for beat in beats:
            beat.stop()
    assert sorted(identities(sink).values()) == [1, 1]


def everything_in(broker) -> str:
    """All that the broker holds, with what is wrapped in base 64 unwrapped."""
    found: list[bytes] = []
    for key in broker.scan_iter():
        found.append(key)
        kind = broker.type(key)
        if kind == b"list":
            found += broker.lrange(key, 0, -1)
        elif kind == b"hash":
            found += [part for pair in broker.hgetall(key).items() for part in pair]
        elif kind == b"string":
            found.append(broker.get(key))
    text = b"\n".join(found).decode(errors="replace")
    bodies = re.findall(r'"body": "([A-Za-z0-9+/=]+)"', text)
    return text + "".join(base64.b64decode(body).decode() for body in bodies)


def test_messages_carry_numbers_and_nothing_about_anybody(broker):
    cast = make_cast()
    job = cast.job_at("agreed")
    tasks.relay()
    held = everything_in(broker)
    assert "notifications.send_letter" in held
    assert re.search(r"\[\[\d+\]", held)
    for secret in (
        "Orla",
        "orla@example.org",
        "Fennimore",
        "Corvane",
        "01632",
        job.ref,
        job.shown_ref,
        "slack",
        "/open/",
        "j_",
    ):
        assert secret not in held, secret


@pytest.fixture
def own_broker(tmp_path):
    """A broker of this test's own, to freeze and to kill; the app talks to it."""
    valkey = services.Valkey(tmp_path / "own-valkey")
    valkey.start()
    was = app.conf.broker_url
    talk_to(valkey.url)
    yield valkey
    talk_to(was)
    valkey.stop()


def talk_to(url: str) -> None:
    """Point the app at another broker; its pools remember the old one."""
    app.conf.broker_url = url
    app.amqp._producer_pool = None
    app._pool = None


def post_it(client, job) -> float:
    """The customer says that it is posted, on the page; answers how long the page took, in seconds."""
    client.get(reverse("open_link", args=[issue_link(job)]))
    before = time.monotonic()
    answer = client.post(reverse("my_posted", args=[job.ref]), {"sent_with": "SP 4411"})
    assert answer.status_code in (204, 302, 303), answer.content
    return time.monotonic() - before


@pytest.mark.parametrize("trouble", ["freeze", "kill"])
def test_a_broker_in_trouble_hardly_slows_a_page_and_loses_nothing(
    trouble, client, own_broker, start_worker, sink
):
    cast = make_cast()
    first, second = cast.book(), cast.another_book()
    getattr(own_broker, trouble)()
    assert post_it(client, first) < 2.5  # one timeout of a second, once
    assert post_it(client, second) < 0.9  # and then it is left alone for half a minute
    own_broker.thaw() if trouble == "freeze" else own_broker.start()
    waking._quiet_until = 0.0
    start_worker("notify", BROKER_URL=own_broker.url)
    sweep_until_sent()
    assert sorted(identities(sink).values()) == [1, 1]
