"""Messages that are made to harm: refused or kept aside, nothing lost, and the house stands."""

import os
from email.message import EmailMessage
from email.policy import SMTP

import pytest

from jobs.darkroom import store
from jobs.models import Question
from notifications.models import Incoming
from notifications.replies import head as heads
from notifications.replies import keeping, taking
from tests.notifications.replies.mails import reply, to

State = Incoming.State


@pytest.fixture
def job(cast):
    return cast.book()


def headed(job, body: bytes, kind: str) -> bytes:
    head = f"From: {job.customer.email}\r\nTo: {to(job)}\r\nMessage-ID: <bomb@example.org>\r\nMIME-Version: 1.0\r\n"
    return head.encode() + f"Content-Type: {kind}\r\n\r\n".encode() + body


def take(raw: bytes) -> Incoming:
    incoming = keeping.keep(raw, "imap")
    taking.take(incoming.pk)
    incoming.refresh_from_db()
    return incoming


def is_kept(incoming: Incoming, raw: bytes) -> bool:
    return store.path(incoming.file).read_bytes() == raw


def thousand_parts(job) -> bytes:
    part = b"--x\r\nContent-Type: text/plain\r\n\r\nhello\r\n"
    return headed(job, part * 1000 + b"--x--\r\n", 'multipart/mixed; boundary="x"')


def deep(job, levels: int) -> bytes:
    body = b"hello"
    for level in range(levels):
        edge = f"b{level}".encode()
        kind = b'Content-Type: multipart/mixed; boundary="%s"' % edge
        body = kind + b"\r\n\r\n--" + edge + b"\r\n" + body + b"\r\n--" + edge + b"--\r\n"
    return headed(job, b"--o\r\n" + body + b"\r\n--o--\r\n", 'multipart/mixed; boundary="o"')


BOMBS = {
    "a thousand parts": thousand_parts,
    "parts inside parts, 30 deep": lambda job: deep(job, 30),
    "parts inside parts, 3,000 deep": lambda job: deep(job, 3000),
    "a text that keeps a pattern busy": lambda job: headed(
        job, b"On " * 20_000 + b"\r\nFrom: " * 5000, "text/plain; charset=utf-8"
    ),
}


@pytest.mark.parametrize("bomb", BOMBS.values(), ids=BOMBS)
def test_a_bomb_is_set_aside_whole_or_survived(job, bomb):
    raw = bomb(job)
    came = take(raw)
    assert came.state in (State.ASIDE, State.TAKEN)
    assert is_kept(came, raw)


def test_a_thousand_parts_are_not_opened(job):
    came = take(thousand_parts(job))
    assert came.state == State.ASIDE
    assert "more parts" in came.why


def test_an_unreadable_tree_of_parts_is_set_aside_or_read_as_far_as_it_goes(job):
    raw = headed(
        job, b"--x\r\nContent-Type: multipart/mixed; boundary=x\r\n\r\n--x\r\n\xff\xfe--x", "multipart/mixed"
    )
    came = take(raw)
    assert came.state == State.ASIDE
    assert is_kept(came, raw)
    assert not Question.objects.exists()


def test_a_message_of_rubbish_is_kept(db):
    raw = os.urandom(4000)
    came = take(raw)
    assert came.state == State.ASIDE
    assert is_kept(came, raw)


def test_of_a_message_of_50_megabytes_only_the_head_is_kept_and_the_office_knows(job, caplog):
    raw = reply(job) + b"x" * (50 * 1024 * 1024)
    came = take(raw)
    assert came.state == State.ASIDE
    assert "25 MB" in came.why
    assert came.size == len(raw)
    assert store.path(came.file).stat().st_size < 10_000
    assert "52429" in caplog.text
    assert "orla" not in caplog.text


def test_a_head_without_end_is_not_read(job):
    raw = reply(job).replace(b"Subject:", b"X-Long: y\r\n" * 30_000 + b"Subject:", 1)
    came = take(raw)
    assert came.state == State.ASIDE
    assert is_kept(came, raw)


def test_five_hundred_header_fields_are_too_many(job):
    with pytest.raises(heads.TooMuch):
        heads.read(b"X-More: y\r\n" * 500 + b"\r\n")


def test_a_file_that_swells_when_it_is_opened_is_opened_by_the_darkroom_alone(job):
    """What is compressed is never opened here: an archive is named and stays shut."""
    mail = EmailMessage(policy=SMTP)
    mail["From"], mail["To"], mail["Message-ID"] = job.customer.email, to(job), "<zip@example.org>"
    mail.set_content("See the archive.")
    mail.add_attachment(b"PK\x03\x04" + b"\0" * 5000, maintype="application", subtype="zip", filename="x.zip")
    came = take(bytes(mail))
    assert came.state == State.TAKEN
    assert came.left_out[0]["name"] == "x.zip"
    assert not job.photos.exists()


def test_nothing_that_somebody_wrote_is_logged(job, caplog):
    caplog.set_level("DEBUG")
    take(reply(job, "My secret words"))
    take(thousand_parts(job))
    take(reply(job, To=to(job).replace(job.ref.lower(), "0000000"), Message_ID="<third@example.org>"))
    for private in ("secret words", "orla@example.org", to(job), "Fennimore"):
        assert private not in caplog.text
