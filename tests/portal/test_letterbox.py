"""The letterbox, over a real SMTP conversation."""

import smtplib

import pytest

from portal import letterbox
from tests.portal.fresh import KEY, python
from tests.services import free_port

LETTER = (
    b"Subject: =?utf-8?q?caf=C3=A9?=\r\nTo: ada@example.org\r\n\r\nDots:\r\n.one\r\n..two\r\n\xc3\xa9\r\n"
)


@pytest.fixture
def post(tmp_path):
    """A running letterbox; hands out a function that posts a letter into it."""
    server = letterbox.open_at(tmp_path / "letters", free_port())
    server.start()

    def send(letter):
        with smtplib.SMTP("127.0.0.1", server.port) as smtp:
            smtp.sendmail("workshop@example.org", ["ada@example.org"], letter)

    yield send
    server.stop()


def test_a_letter_is_kept_byte_for_byte(post, tmp_path):
    post(LETTER)
    [file] = (tmp_path / "letters").iterdir()
    assert file.read_bytes() == LETTER


def test_letters_lie_in_the_order_in_which_they_came(post, tmp_path):
    for number in range(12):
        post(b"Subject: %d\r\n\r\n" % number)
    found = [file.read_bytes() for file in sorted((tmp_path / "letters").glob("*.eml"))]
    assert found == [b"Subject: %d\r\n\r\n" % number for number in range(12)]


def test_a_letter_that_cannot_be_kept_is_not_acknowledged(post, tmp_path):
    (tmp_path / "letters").write_text("a file where the folder should be")
    with pytest.raises(smtplib.SMTPResponseException) as refusal:
        post(LETTER)
    assert refusal.value.smtp_code >= 400


def test_a_port_in_use_is_said_in_one_line(post, tmp_path, unused_port_taken):
    done = python(
        "manage.py", "letterbox", var=tmp_path, SECRET_KEY=KEY, LETTERBOX_PORT=str(unused_port_taken)
    )
    assert done.stderr.strip().count("\n") == 0
    assert f"Port {unused_port_taken} is in use" in done.stderr


@pytest.fixture
def unused_port_taken():
    import socket

    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        yield taken.getsockname()[1]
