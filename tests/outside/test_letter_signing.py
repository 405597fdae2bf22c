"""Letters can be signed and stay signed: DKIM (RFC 6376) by dkimpy, which knows nothing of how our messages are made.

The workshop's mail server signs; we hold no key. So a key of the test signs here what we hand over, and the signature has to survive
what relays do to a message that needs no rewriting. RFC 8058 section 4 wants List-Unsubscribe and its companion under the signature.
"""

import base64

import dkim
import pytest
from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.asymmetric import rsa

from notifications import message
from tests.cast import make_cast
from tests.notifications.scenes import every_letter

SENDER = "letters@tidewater.example"
SIGNED = [
    *(b"From", b"To", b"Subject", b"Date", b"Message-ID", b"In-Reply-To", b"References", b"Reply-To"),
    *(
        b"List-Id",
        b"List-Unsubscribe",
        b"List-Unsubscribe-Post",
        b"Auto-Submitted",
        b"MIME-Version",
        b"Content-Type",
    ),
]
HOP = (
    b"Received: from mail.tidewater.example (mail.tidewater.example [192.0.2.7])\r\n"
    b"\tby mx.example.org with ESMTPS id 4X; Fri, 27 Nov 2026 10:00:00 +0000\r\n"
)


@pytest.fixture(scope="module")
def key() -> rsa.RSAPrivateKey:
    return rsa.generate_private_key(public_exponent=65537, key_size=2048)


_built: dict[str, bytes] = {}


@pytest.fixture
def letters(db: None) -> dict[str, bytes]:
    """One message of each kind as it leaves the house, built once for the whole run."""
    if not _built:
        written = every_letter(make_cast())
        _built.update({kind: message.build(letter, SENDER) for kind, letter in written.items()})
    return _built


def signed(raw: bytes, key: rsa.RSAPrivateKey) -> bytes:
    pem = key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.TraditionalOpenSSL,
        serialization.NoEncryption(),
    )
    canonical = (b"relaxed", b"relaxed")
    header: bytes = dkim.sign(
        raw, b"bench", b"tidewater.example", pem, include_headers=SIGNED, canonicalize=canonical
    )
    return header + raw


def holds(raw: bytes, key: rsa.RSAPrivateKey) -> bool:
    public = key.public_key().public_bytes(
        serialization.Encoding.DER, serialization.PublicFormat.SubjectPublicKeyInfo
    )
    record = b"v=DKIM1; k=rsa; p=" + base64.b64encode(public)
    found: bool = dkim.verify(raw, dnsfunc=lambda _name, timeout=5: record)
    return found


def test_every_kind_of_letter_survives_two_relays(letters: dict[str, bytes], key: rsa.RSAPrivateKey) -> None:
    for kind, letter in letters.items():
        raw = signed(letter, key)
        assert holds(HOP + HOP + raw, key), kind


def test_it_survives_a_relay_that_folds_headers_anew(
    letters: dict[str, bytes], key: rsa.RSAPrivateKey
) -> None:
    """RFC 6376 section 3.4.2, relaxed: white space may change between words, as some relays do."""
    raw = signed(letters["decided"], key)
    head, _, body = raw.partition(b"\r\n\r\n")
    unfolded = head.replace(b"References: ", b"References:\r\n ")
    assert unfolded != head
    assert holds(unfolded + b"\r\n\r\n" + body, key)


@pytest.mark.parametrize(
    "change",
    [
        (
            b"List-Unsubscribe-Post: List-Unsubscribe=One-Click",
            b"List-Unsubscribe-Post: List-Unsubscribe=Twice",
        ),
        (b"/letters-off/", b"/letters-on/"),
        (b"Auto-Submitted: auto-generated", b"Auto-Submitted: no"),
        (b"is here and safe", b"is lost"),
    ],
)
def test_whoever_changes_what_is_signed_is_found_out(
    letters: dict[str, bytes], key: rsa.RSAPrivateKey, change: tuple[bytes, bytes]
) -> None:
    raw = signed(letters["arrived"], key)
    before, after = change
    assert before in raw
    assert not holds(raw.replace(before, after, 1), key)


def test_the_headers_of_one_click_are_under_the_signature(
    letters: dict[str, bytes], key: rsa.RSAPrivateKey
) -> None:
    """RFC 8058 section 4."""
    raw = signed(letters["arrived"], key)
    named = raw.partition(b"h=")[2].partition(b";")[0].lower().replace(b" ", b"").replace(b"\r\n", b"")
    assert {b"list-unsubscribe", b"list-unsubscribe-post"} <= set(named.split(b":"))


def test_nothing_needs_rewriting_on_the_way(letters: dict[str, bytes]) -> None:
    """What breaks signatures is a relay that has to change the encoding, dots or long lines (RFC 6376 section 5.3)."""
    for kind, raw in letters.items():
        assert raw.isascii(), kind
        assert max(map(len, raw.split(b"\r\n"))) <= 998, kind
