"""What was written to us is not kept for ever."""

from datetime import timedelta

import pytest
from django.utils import timezone

from jobs.darkroom import store
from notifications.models import Incoming
from notifications.replies import keeping
from notifications.replies.forgetting import forget_old

pytestmark = pytest.mark.django_db


def message(state: str, days: int, number: int = 1) -> Incoming:
    raw = b"From: orla@example.org\r\nMessage-ID: <%d@example.org>\r\n\r\nYes.\r\n" % number
    return Incoming.objects.create(
        fingerprint=f"{number:064}",
        state=state,
        via="imap",
        from_address="orla@example.org",
        subject="Re: Your Corvane",
        text="Yes.",
        file=keeping.write(raw),
        at=timezone.now() - timedelta(days=days),
    )


@pytest.mark.parametrize(("state", "days"), [("taken", 401), ("robot", 91), ("done", 91)])
def test_an_old_message_loses_sender_words_and_file_and_stays_known(state, days):
    old = message(state, days)
    file = store.path(old.file)
    assert forget_old(timezone.now()) == 1
    old.refresh_from_db()
    assert (old.from_address, old.subject, old.text, old.file) == ("", "", "", "")
    assert not file.exists()
    assert len(old.fingerprint) == 64


@pytest.mark.parametrize(
    ("state", "days"), [("taken", 399), ("robot", 89), ("done", 89), ("aside", 5000), ("new", 5000)]
)
def test_a_newer_one_and_one_that_nobody_has_looked_at_are_kept(state, days):
    kept = message(state, days)
    assert forget_old(timezone.now()) == 0
    assert store.path(kept.file).exists()


def test_it_is_done_once_and_a_file_that_is_gone_already_is_no_trouble():
    old = message("taken", 500)
    store.path(old.file).unlink()
    assert forget_old(timezone.now()) == 1
    assert forget_old(timezone.now()) == 0
