"""The open jobs of whoever a message says it comes from stand beside it, and decide nothing."""

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from jobs.models import Job
from jobs.words import Stage
from notifications.models import Incoming
from notifications.replies import keeping, taking
from tests.cast import Cast
from tests.notifications.replies.mails import BOX, reply

LIST = "/office/incoming/"


@pytest.fixture
def owner(cast: Cast) -> Client:
    client = Client()
    client.force_login(cast.owner_user)
    return client


def came_from(address: str, n: int = 1) -> Incoming:
    """A message that answers no letter of ours."""
    incoming = keeping.keep(
        reply(None, "Where is it?", To=BOX, From=address, Message_ID=f"<{n}@example.net>"), "imap"
    )
    taking.take(incoming.pk)
    incoming.refresh_from_db()
    return incoming


def page(owner: Client) -> str:
    return owner.get(LIST).content.decode()


def test_the_open_jobs_of_its_address_are_named_however_it_is_written(cast: Cast, owner: Client) -> None:
    job = cast.book()
    assert came_from(job.customer.email.upper()).job is None
    read = page(owner)
    assert "Open jobs of this address:" in read
    assert job.shown_ref in read
    assert f'value="{job.shown_ref}"' not in read


def test_jobs_that_are_over_and_those_of_others_are_not(cast: Cast, owner: Client) -> None:
    over = cast.job_at(Stage.RETURNED)
    came_from(over.customer.email)
    came_from("stranger@example.net", 2)
    read = page(owner)
    assert "Open jobs of this address:" not in read
    assert over.shown_ref not in read


def test_many_messages_take_no_more_queries_than_one(cast: Cast, owner: Client) -> None:
    job: Job = cast.book()
    counts = []
    for n in (1, 2, 3):
        came_from(job.customer.email, n)
        page(owner)
        with CaptureQueriesContext(connection) as asked:
            page(owner)
        counts.append(len(asked))
    assert page(owner).count("Open jobs of this address:") == 3
    assert len(set(counts)) == 1
