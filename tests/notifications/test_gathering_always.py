"""Whatever happens in whatever order: each piece of news reaches its reader, and by one Message-ID alone."""

from collections import defaultdict
from contextlib import suppress

import pytest
from django.db import transaction
from django.utils import timezone
from hypothesis import HealthCheck, given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from jobs import journal
from jobs.actor import HOUSE
from jobs.models import Kind
from notifications import deliver, relay
from notifications.channels import CHANNELS
from notifications.channels.base import Channel, Trouble, Undelivered
from notifications.models import Letter

FATES = st.sampled_from(["arrives", "arrives", "later", "perhaps", "killed before", "killed after"])
STEPS = st.lists(st.one_of(st.just("news"), st.just("urgent"), FATES), min_size=4, max_size=14)


class Killed(BaseException):
    """What SIGKILL looks like from inside: nothing after it runs."""


class Post(Channel):
    """A mail server and a worker that fare as told, letter by letter; afterwards both are well."""

    fates: list[str] = []
    taken: list[tuple[str, str]] = []  # Message-ID and text of what the server has

    def send(self, letter, before_handing):
        fate = Post.fates.pop(0) if Post.fates else "arrives"
        if fate == "killed before":
            raise Killed
        if fate == "later":
            raise Undelivered("451 come back later", Trouble.TEMPORARY)
        before_handing()
        Post.taken.append((letter.message_id, letter.text))
        if fate == "killed after":
            raise Killed
        if fate == "perhaps":
            raise Undelivered("no answer came", Trouble.AMBIGUOUS)


def deliver_once() -> bool:
    """Much later: leases have run out, waits are over; a fresh worker sends the first letter that is due. False: none is."""
    Letter.objects.filter(state="sending").update(lease_until=timezone.now())
    deliver.free_the_stranded()
    Letter.objects.filter(next_attempt_at__isnull=False).update(next_attempt_at=timezone.now())
    due = Letter.objects.owed().order_by("pk").first()
    if due:
        with suppress(Killed):
            deliver.deliver(due.pk)
    return due is not None


def live(job, steps: list[str]) -> list[str]:
    """Take the steps one after another, then deliver until nothing is due. Answers the marks of what was news."""
    marks: list[str] = []
    for step in steps:
        if step in ("news", "urgent"):
            marks.append(f"Part-{len(marks)}-")
            told = {"part": marks[-1], "expected_on": None}
            journal.append(job, Kind.PART_AWAITED if step == "news" else Kind.LINK_ASKED, HOUSE, told)
            relay.run()
        else:
            Post.fates.append(step)
            deliver_once()
    for _ in range(40):
        if not deliver_once():
            break
    return [
        mark
        for mark, step in zip(marks, (s for s in steps if s in ("news", "urgent")), strict=True)
        if step == "news"
    ]


@pytest.fixture
def job(cast):
    """Told of everything up to here; each example begins from it and is rolled back."""
    job = cast.job_at("awaiting_part")
    relay.run()
    Letter.objects.update(state="sent", next_attempt_at=None)
    return job


@hypothesis_settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(steps=STEPS)
def test_each_piece_of_news_arrives_under_one_message_id_and_is_repeated_only_when_nobody_could_tell(
    job, monkeypatch, steps
):
    monkeypatch.setitem(CHANNELS, "email", Post)
    Post.fates, Post.taken = [], []
    with transaction.atomic():
        news = live(job, steps)
        carriers = defaultdict(list)
        for identity, text in Post.taken:
            for mark in news:
                if mark in text:
                    carriers[mark].append(identity)
        in_doubt = set(Letter.objects.filter(doubts__gt=0).values_list("message_id", flat=True))
        transaction.set_rollback(True)
    for mark in news:
        assert len(set(carriers[mark])) == 1, (mark, carriers[mark])
        assert len(carriers[mark]) == 1 or carriers[mark][0] in in_doubt
