"""Our short cuts through the library's headers change not one byte of a letter."""

import re
from collections import defaultdict
from email.headerregistry import HeaderRegistry
from email.policy import SMTP
from itertools import product

from django.utils import timezone

from notifications import headers, message

SUBJECTS = [
    "As it was",
    "Ünïcödé " * 20,
    'a "quoted" (thing), <x> =?utf-8?q?hi?=',
    "long" * 40,
    "ends in space ",
]


def plainly():
    """The standard library's policy, with nothing of ours but the folding of identifiers."""
    registry = HeaderRegistry()
    for name in ("message-id", "in-reply-to", "references", "list-unsubscribe"):
        registry.map_to_type(name, headers.Tokens)
    return SMTP.clone(header_factory=registry, cte_type="7bit")


def without_boundaries(mail: bytes) -> bytes:
    return re.sub(rb"={15}\d+==", b"boundary", mail)


def test_every_letter_is_the_same_byte_for_byte(every, monkeypatch):
    now, built = timezone.now(), defaultdict(set)
    for policy, (kind, letter), subject in product((plainly(), headers.POLICY), every.items(), SUBJECTS):
        monkeypatch.setattr(message, "POLICY", policy)
        letter.subject = subject
        mail = message.build(letter, "workshop@example.org", now, key="j_key")
        built[kind, subject].add(without_boundaries(mail))
    differ = {kind for (kind, _subject), mails in built.items() if len(mails) > 1}
    assert differ == {"code"}  # its figures are drawn anew each time


def test_a_header_that_is_kept_for_many_letters_is_not_changed_by_one_of_them():
    first, second = (message.EmailMessage(policy=headers.POLICY) for _ in range(2))
    first["Content-Type"] = second["Content-Type"] = "text/plain"
    first.set_param("charset", "utf-8")
    assert second["Content-Type"] == "text/plain"
