"""Letters over a real mail server with two real workers, beside a bare loop that sends the very same bytes; and the relay.

The mail server is the house's own letterbox, a process of its own that says 250 when a letter is on the disk. The bare loop is the
shortest that smtplib allows: one connection, one message after another, nothing noted anywhere. It sends the files that the workers'
letters became, to the same mail server and in turns with the workers, so that a busy moment of the machine falls on both. That server
takes about 2 ms of the processor for each letter, whoever brings it, and shares the cores with those who do.
"""

import os
import re
import smtplib
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from uuid import uuid4

from django.conf import settings
from django.db import transaction
from django.db.models import Model, QuerySet
from django.utils import timezone

from jobs import journal, refs
from jobs.actions import booking
from jobs.models import Customer, Entry, Item, Job, PrivateLink, Workshop
from jobs.triggers import guard_evidence, unguard_evidence
from notifications import claiming, relay
from notifications.models import Letter, Owing, Read
from notifications.waking import wake_letters
from tests import services
from tests.benchmarks.frame import Row, at_least, at_most, measured
from tests.cast import make_cast

LETTERS = 300
ROUNDS = 3
ENTRIES = 10_000
TIMED = 400


@measured
def delivery() -> Iterator[Row]:
    ours, bare = [], []
    with guests(LETTERS), tempfile.TemporaryDirectory() as folder, letterbox(Path(folder)) as (port, box):
        while relay.run().read:
            pass
        others = Letter.objects.exclude(to_address__startswith="guest")  # what earlier measurements left
        others.update(state=Letter.State.SKIPPED, next_attempt_at=None)
        with two_workers(port):
            for _ in range(ROUNDS):
                all_fall_due()
                ours.append(LETTERS / seconds(lambda: by_workers(box)))
                letters = [file.read_bytes() for file in sorted(box.glob("*.eml"))]
                bare.append(LETTERS / seconds(lambda letters=letters: by_hand(port, letters)))
                empty(box)
    ratio = statistics.median(mine / its for mine, its in zip(ours, bare, strict=True))
    yield at_least("letters a second, 2 workers, beside a bare SMTP loop", ratio, "times", 0.5)
    told = f"told only (the bare loop: {statistics.median(bare):.0f})"
    yield Row("letters a second, 2 workers", round(statistics.median(ours)), "letters/s", told, True)


@measured
def relaying() -> Iterator[Row]:
    """From the middle of a backlog, because looking for what is unread takes longer the more was read just before.

    Beside it the least that has to happen for each entry: its letter's row and the note that it was read, in a transaction.
    """
    with guests(1):
        backlog(ENTRIES - 1)
        unread = list(relay.unread().values_list("pk", flat=True))
        Read.objects.bulk_create([Read(entry_id=pk) for pk in unread[: ENTRIES // 2]], 2000)
        taken = seconds(lambda: [relay.run(enough=20) for _ in range(TIMED // 20)]) / TIMED
        letters = list(Letter.objects.order_by("-pk")[:TIMED])
        bare = seconds(lambda: write_bare(letters)) / TIMED
    told = f"told only ({1 / taken:.0f} entries/s, reckoned from {TIMED} in the middle)"
    yield Row(f"relay of {ENTRIES:,} entries, each with a letter", round(ENTRIES * taken, 1), "s", told, True)
    yield at_most("relay of an entry beside the bare INSERTs of its rows", taken / bare, "times", 12)


@contextmanager
def guests(bookings: int) -> Iterator[None]:
    """So many jobs, each booked by the real action by somebody else, with nobody woken; and away with them, because others count jobs."""
    if Workshop.objects.current() is None:
        make_cast()
    told = {"maker": "Corvane", "model": "Skerry", "telephone": "01632 960142", "address": "3 Quay Lane"}
    story = "I pushed the lever a bit harder and then it went slack. Did I break it?"
    wakers, journal.wakers[:] = journal.wakers[:], []
    try:
        for n in range(bookings):
            person = {"name": f"Guest {n}", "email": f"guest{n}@example.org"}
            booking.book(booking.Booking(story=story, **person, **told))
        yield
    finally:
        journal.wakers[:] = wakers
        take_away()


def take_away() -> None:
    jobs = Job.objects.filter(customer__email__startswith="guest")
    unguard_evidence()
    Read.objects.filter(entry__job__in=jobs).delete()
    for model in (Letter, PrivateLink, Owing, Entry):
        model.objects.filter(job__in=jobs).delete()
    jobs.delete()
    guard_evidence()


def backlog(entries: int) -> None:
    """So many more jobs with the first entry of the one that was really booked: the relay reads, it does not check chains."""
    job = Job.objects.filter(customer__email="guest0@example.org").get()
    entry, numbers = job.entries.get(), range(300_000, 300_000 + entries)
    person, item = job.customer, job.item
    people = Customer.objects.bulk_create(
        [copy_of(person, name=f"Guest {n}", email=f"guest{n}@example.org") for n in numbers], 2000
    )
    items = Item.objects.bulk_create([copy_of(item, owner=each) for each in people], 2000)
    jobs = Job.objects.bulk_create(
        [
            copy_of(job, ref=refs.encode(n), customer=item.owner, item=item)
            for n, item in zip(numbers, items, strict=True)
        ],
        2000,
    )
    Entry.objects.bulk_create([copy_of(entry, job=each) for each in jobs], 2000)


def copy_of(row: Model, **changes: object) -> Any:
    fields = {field.attname: getattr(row, field.attname) for field in row._meta.concrete_fields}
    del fields[row._meta.pk.attname]
    made = type(row)(**fields)
    for name, value in changes.items():
        setattr(made, name, value)
    return made


def write_bare(letters: list[Letter]) -> None:
    """The same rows once more, as letters to the workshop, so that no unique key minds."""
    Read.objects.filter(entry__in=[letter.entry_id for letter in letters]).delete()
    for letter in letters:
        with transaction.atomic():
            again = copy_of(letter, uid=uuid4(), message_id=f"<{uuid4()}@example.org>", person=None)
            again.save()
            Read.objects.create(entry_id=letter.entry_id)


@contextmanager
def letterbox(folder: Path) -> Iterator[tuple[int, Path]]:
    """The house's own mail server: its port, and the folder where letters arrive."""
    port = services.free_port()
    environment = os.environ | {"VAR_DIR": str(folder), "LETTERBOX_PORT": str(port)}
    command = [sys.executable, "manage.py", "letterbox"]
    quiet = subprocess.DEVNULL
    server = subprocess.Popen(command, env=environment, cwd=services.ROOT, stdout=quiet, stderr=quiet)
    try:
        services.wait_until(lambda: answers(port), 30, "the letterbox's start")
        yield port, folder / "letterbox"
    finally:
        server.terminate()
        server.wait()


def answers(port: int) -> bool:
    try:
        smtplib.SMTP("127.0.0.1", port, timeout=1).quit()
    except OSError:
        return False
    return True


@contextmanager
def two_workers(port: int) -> Iterator[None]:
    with tempfile.TemporaryDirectory() as folder:
        environment = {
            "SMTP_URL": f"smtp://127.0.0.1:{port}",
            "VAR_DIR": folder,
            "BROKER_URL": settings.BROKER_URL,
        }
        workers = [services.Worker(Path(folder) / f"{n}.log", "notify", **environment) for n in (1, 2)]
        try:
            for worker in workers:
                worker.start()
            yield
        finally:
            for worker in workers:
                worker.stop()


def seconds(act: Callable[[], None]) -> float:
    begin = time.perf_counter()
    act()
    return time.perf_counter() - begin


def to_guests() -> QuerySet[Letter]:
    return Letter.objects.filter(kind="booked", to_address__startswith="guest")


def all_fall_due() -> None:
    to_guests().update(state="waiting", next_attempt_at=timezone.now(), attempts=0)


def by_workers(box: Path) -> None:
    """The workers are told of all letters, and have noted of each that it went."""
    mine = to_guests()
    wake_letters(mine.values_list("pk", flat=True))

    def all_sent() -> bool:
        wake_letters(claiming.to_wake())  # as a sweep would, where a message was lost
        return not mine.exclude(state="sent").exists()

    services.wait_until(all_sent, 120, "the letters' delivery")
    assert len(list(box.glob("*.eml"))) == LETTERS


def by_hand(port: int, letters: list[bytes]) -> None:
    with smtplib.SMTP("127.0.0.1", port) as server:
        for letter in letters:
            to = re.search(rb"(?m)^To: .*?<?([\w.]+@[\w.]+)>?\r$", letter)
            server.sendmail("workshop@localhost", [to[1].decode()], letter)


def empty(box: Path) -> None:
    for file in box.glob("*.eml"):
        file.unlink()
