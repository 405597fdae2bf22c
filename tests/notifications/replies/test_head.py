"""The head of whatever comes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from notifications.replies import head


@given(st.binary(max_size=2000))
def test_any_bytes_are_read_or_refused(raw):
    try:
        read = head.read(raw)
    except head.TooMuch:
        return
    assert "\n" not in read.subject + read.from_address + "".join(read.to)
    head.fingerprint(read, raw)


@given(st.text(max_size=300))
def test_any_subject_becomes_one_line_that_can_be_kept(text):
    subject = head.decoded(text)
    subject.encode()
    assert subject.isprintable()


@pytest.mark.parametrize(
    ("field", "shown"),
    [
        ("=?utf-8?q?Gr=C3=BC=C3=9Fe?=", "Grüße"),
        ("=?iso-8859-1?q?Gr=FC=DFe?=", "Grüße"),
        ("=?utf-8?b?8J+Ttw==?= camera", "📷 camera"),
        ("=?nobody-knows?q?x?=", "=?nobody-knows?q?x?="),
        ("=?utf-8?b?broken", "=?utf-8?b?broken"),
    ],
)
def test_encoded_words_are_read_where_they_can_be(field, shown):
    assert head.decoded(field) == shown


def test_for_whom_it_came_is_read_from_every_field_that_says_so():
    raw = b"Delivered-To: a@example.org\r\nTo: B <b@example.org>, c@example.org\r\nCc: d@example.org\r\nBcc: e@example.org\r\n\r\n"
    assert head.read(raw).to == ("a@example.org", "b@example.org", "c@example.org", "d@example.org")


def test_the_first_of_two_senders_counts_and_the_message_that_it_answers_before_older_ones():
    raw = (
        b"From: a@example.org\r\nFrom: b@example.org\r\nReferences: <1@x> <2@x>\r\nIn-Reply-To: <2@x>\r\n\r\n"
    )
    read = head.read(raw)
    assert read.from_address == "a@example.org"
    assert read.answers == ("<2@x>", "<1@x>")
