"""Our short cut past the library's headers changes not one byte of a letter."""

from collections import defaultdict
from email.headerregistry import Address
from itertools import product

import pytest
from django.utils import timezone

from notifications import headers, message

SUBJECTS = [
    "As it was",
    "Ünïcödé " * 20,
    'a "quoted" (thing), <x> =?utf-8?q?hi?=',
    "=?utf-8?q?hi?= =?utf-8?q?there?=",
    "long" * 40,
    "as long as one line may be" + "!" * 43,
    "one more than that" + "!" * 52,
    "ends in space ",
    "two  spaces, a\ttab",
    "",
]
NAMES = [
    "",
    "Guest 1",
    'O"Brien, Orla',
    "Žofie",
    "a.b",
    "x (y)",
    "<y>",
    "=?utf-8?q?hi?=",
    "back\\slash",
    "n" * 70,
]


def test_every_letter_is_the_same_byte_for_byte(every, monkeypatch):
    now, built = timezone.now(), defaultdict(set)
    for written, (kind, letter), subject in product(
        (headers.header, headers.folded), every.items(), SUBJECTS
    ):
        monkeypatch.setattr(message, "header", written)
        letter.subject = subject
        built[kind, subject].add(message.build(letter, "workshop@example.org", now, key="j_key"))
    differ = {kind for (kind, _subject), mails in built.items() if len(mails) > 1}
    assert differ == {"code"}  # its figures are drawn anew each time


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("addr_spec", ["guest1@example.org", '"a b"@example.org', f"{'g' * 60}@example.org"])
def test_a_name_beside_an_address_is_the_same_byte_for_byte(name, addr_spec):
    address = Address(display_name=name, addr_spec=addr_spec)
    assert headers.header("To", address) == headers.folded("To", address)
