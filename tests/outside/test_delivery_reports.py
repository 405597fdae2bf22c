"""Reports of mail servers as RFC 3464 prints them (its appendix E), about a letter of ours, through the whole road."""

import pytest

from jobs.models import Kind
from notifications import relay
from notifications.models import Incoming, Letter
from notifications.replies import keeping, taking

# RFC 3464, appendix E.1, "Simple DSN"; the returned message is named by ours.
SIMPLE = """\
Date: Thu, 7 Jul 1994 17:16:05 -0400
From: Mail Delivery Subsystem <MAILER-DAEMON@CS.UTK.EDU>
Message-Id: <199407072116.RAA14128@CS.UTK.EDU>
Subject: Returned mail: Cannot send message for 5 days
To: <bench@tidewater.example>
MIME-Version: 1.0
Content-Type: multipart/report; report-type=delivery-status;
   boundary="RAA14128.773615765/CS.UTK.EDU"

--RAA14128.773615765/CS.UTK.EDU

The original message was received at Sat, 2 Jul 1994 17:10:28 -0400
from root@localhost

   ----- The following addresses had delivery problems -----
<{recipient}>  (unrecoverable error)

--RAA14128.773615765/CS.UTK.EDU
content-type: message/delivery-status

Reporting-MTA: dns; cs.utk.edu

Original-Recipient: rfc822;{recipient}
Final-Recipient: rfc822;{recipient}
Action: {action}
Status: {status}
Diagnostic-Code: smtp; {said}
Last-Attempt-Date: Thu, 7 Jul 1994 17:15:49 -0400

--RAA14128.773615765/CS.UTK.EDU
content-type: {copy}

{inside}
--RAA14128.773615765/CS.UTK.EDU--
"""
COPIES = {
    "the whole letter": (
        "message/rfc822",
        "Message-ID: {id}\nSubject: Your camera\nMIME-Version: 1.0\n\nDear Orla\n",
    ),
    "its head": ("text/rfc822-headers", "Subject: Your camera\nMessage-ID: {id}\n"),
}


@pytest.fixture
def letter(cast):
    cast.book()
    relay.run()
    Letter.objects.filter(kind="booked").update(state=Letter.State.SENT)
    return Letter.objects.get(kind="booked")


def told(letter, copy="the whole letter", **more):
    kind, inside = COPIES[copy]
    words = {
        "recipient": letter.to_address,
        "action": "failed",
        "status": "5.1.1",
        "said": "550 5.1.1 no such user",
        "copy": kind,
        "inside": inside.format(id=letter.message_id),
        **more,
    }
    return SIMPLE.format(**words).replace("\n", "\r\n").encode()


def take(raw):
    incoming = keeping.keep(raw, "imap")
    taking.take(incoming.pk)
    incoming.refresh_from_db()
    return incoming


def test_a_report_with_signs_that_no_column_takes_is_read_all_the_same(letter):
    take(told(letter, said="550 5.1.1 no \x00 such user"))
    letter.refresh_from_db()
    assert (letter.state, "\x00" in letter.last_error) == (Letter.State.RETURNED, False)


def test_a_message_that_names_a_letter_with_a_sign_that_no_column_takes_is_about_none(letter):
    came = take(told(letter, inside="Message-ID: <a\x00b@example.org>\n\nDear Orla\n"))
    assert (came.state, came.job) == (Incoming.State.ROBOT, None)


@pytest.mark.parametrize("copy", COPIES)
def test_a_report_returns_the_letter_that_it_names(letter, copy):
    came = take(told(letter, copy))
    letter.refresh_from_db()
    assert letter.state == Letter.State.RETURNED
    assert (came.state, came.job) == (Incoming.State.ROBOT, letter.job)
    entry = letter.job.entries.get(kind=Kind.CAME_BACK)
    assert entry.data["said"] == "5.1.1 550 5.1.1 no such user"


def test_the_same_report_twice_counts_once(letter):
    for n in (1, 2):
        take(told(letter).replace(b"RAA14128@CS", b"RAA1412%d@CS" % n))
    assert letter.job.entries.filter(kind=Kind.CAME_BACK).count() == 1


def test_a_report_of_a_delay_changes_nothing(letter):
    take(told(letter, action="delayed", status="4.0.0"))
    letter.refresh_from_db()
    assert letter.state == Letter.State.SENT


def test_a_report_of_delivery_settles_a_doubt(letter):
    Letter.objects.filter(pk=letter.pk).update(state=Letter.State.AMBIGUOUS)
    take(told(letter, action="delivered", status="2.0.0", said="250 ok"))
    letter.refresh_from_db()
    assert letter.state == Letter.State.SENT


def test_a_report_about_somebody_elses_message_is_only_kept(letter):
    came = take(told(letter, inside="Message-ID: <x@example.net>\n\nhello\n"))
    letter.refresh_from_db()
    assert (came.state, letter.state) == (Incoming.State.ROBOT, Letter.State.SENT)


def test_a_forged_report_for_another_address_is_not_believed(letter):
    take(told(letter, recipient="anselm@example.net"))
    letter.refresh_from_db()
    assert letter.state == Letter.State.SENT
