"""Automatic messages as RFC 3834 and its neighbours describe them, each as a message off the wire."""

import pytest

from notifications.replies.head import read
from notifications.replies.robots import why_robot

PERSON = "From: Orla <orla@example.org>\r\nTo: bench@example.org\r\nSubject: Re: Your camera\r\n"

ROBOTS = {
    # RFC 3834 section 5: the field and its keywords
    "auto-replied": "Auto-Submitted: auto-replied",
    "auto-generated": "Auto-Submitted: auto-generated",
    "auto-notified (RFC 5436 section 2.7.1)": "Auto-Submitted: auto-notified",
    "an extension keyword": "Auto-Submitted: example-keyword",
    "with a parameter": 'Auto-Submitted: auto-replied; owner-email="orla@example.org"',
    "with a comment": "Auto-Submitted: (vacation) auto-replied (until Monday)",
    "in capitals": "AUTO-SUBMITTED: Auto-Replied",
    "folded": "Auto-Submitted:\r\n auto-replied",
    "said twice, the second time automatic": "Auto-Submitted: no\r\nAuto-Submitted: auto-replied",
    # RFC 3834 section 2: what a responder must not answer
    "from the null reverse-path (RFC 5321 section 4.5.5)": "Return-Path: <>",
    "null reverse-path with blanks": "Return-Path:  <> ",
    "to a list (RFC 2919)": "List-Id: <cameras.example.net>",
    "to a list (RFC 2369)": "List-Unsubscribe: <https://example.net/off>",
    "list-post": "List-Post: <mailto:cameras@example.net>",
    "precedence bulk": "Precedence: bulk",
    "precedence list": "Precedence: list",
    "precedence junk": "Precedence: Junk",
    # MS-OXCMAIL 2.1.3.2.20, and what older programs write
    "asks not to be answered": "X-Auto-Response-Suppress: All",
    "x-autoreply": "X-Autoreply: yes",
    "x-autorespond": "X-Autorespond: Out of the workshop",
    # RFC 6522, 3464, 8098
    "a report of a delivery": 'Content-Type: multipart/report; report-type=delivery-status; boundary="b"',
    "a report that it was read": 'Content-Type: multipart/report; report-type=disposition-notification; boundary="b"',
}
PEOPLE = {
    "nothing said": "X-Mailer: a mail program",
    "auto-submitted no": "Auto-Submitted: no",
    "no, with a comment": "Auto-Submitted: no (a person wrote this)",
    "no, in capitals": "Auto-Submitted: NO",
    "a reverse-path": "Return-Path: <orla@example.org>",
    "precedence first-class": "Precedence: first-class",
    "parts": 'Content-Type: multipart/mixed; boundary="b"',
    "importance": "X-Priority: 1",
}


@pytest.mark.parametrize("field", ROBOTS.values(), ids=ROBOTS)
def test_a_robot_is_known(field):
    assert why_robot(read(f"{PERSON}{field}\r\n\r\nI am away.\r\n".encode()))


@pytest.mark.parametrize("field", PEOPLE.values(), ids=PEOPLE)
def test_a_person_is_not_taken_for_one(field):
    assert why_robot(read(f"{PERSON}{field}\r\n\r\nWill it last?\r\n".encode())) == ""


@pytest.mark.parametrize("sender", ["MAILER-DAEMON@mx.example.net", "postmaster@example.net"])
def test_a_mail_servers_own_address_is_a_robots(sender):
    assert why_robot(read(f"From: {sender}\r\nTo: bench@example.org\r\n\r\n".encode()))


def test_our_own_letters_are_known_as_such_so_that_two_houses_could_not_write_to_each_other(cast, db):
    from notifications import message, relay
    from notifications.models import Letter

    cast.book()
    relay.run()
    assert why_robot(read(message.build(Letter.objects.get(kind="booked"), "bench@tidewater.example")))
