"""Web Push against its standards: what our channel really pushed, decrypted by RFC 8188 and 8291 as written here, and its signature
checked by RFC 8292. The decryption is held against the example of RFC 8291, section 5 and appendix A, first.
"""

import base64
import json
import time

import pytest
from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives import hashes, hmac
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import encode_dss_signature
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

from notifications import deliver, vapid
from notifications.models import Letter, PushSubscription
from portal.state import draw_vapid_key
from tests.http_services import other_side
from tests.notifications.scenes import run

# RFC 8291, section 5 and appendix A.
EXAMPLE = {
    "plaintext": b"When I grow up, I want to be a watermelon",
    "private": "q1dXpw3UpT5VOmu_cf_v6ih07Aems3njxI-JWgLcM94",
    "public": "BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4",
    "auth": "BTBZMqHH6r4Tts7J_aSIgg",
    "body": (
        "DGv6ra1nlYgDCS1FRnbzlwAAEABBBP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6Tlz"
        "AC8wEqKK6PBru3jl7A_yl95bQpu6cVPTpK4Mqgkf1CXztLVBSt2Ks3oZwbuwXPXLWyouBWLVWGNWQexSgSxsj_Qulcy4a-fN"
    ),
}


def unpadded(text: str) -> bytes:
    return base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))


def base64url(raw: bytes) -> str:
    return base64.urlsafe_b64encode(raw).rstrip(b"=").decode()


def hkdf(salt: bytes, secret: bytes, info: bytes, length: int) -> bytes:
    """RFC 5869 with SHA-256 for at most one block: extract, then expand."""

    def mac(key: bytes, text: bytes) -> bytes:
        made = hmac.HMAC(key, hashes.SHA256())
        made.update(text)
        return made.finalize()

    return mac(mac(salt, secret), info + b"\x01")[:length]


def decrypted(body: bytes, private: ec.EllipticCurvePrivateKey, auth: bytes) -> bytes:
    """The words in a pushed message of one record (RFC 8188 section 2, RFC 8291 section 3)."""
    salt, record, length = body[:16], int.from_bytes(body[16:20], "big"), body[20]
    sender, sealed = body[21 : 21 + length], body[21 + length :]
    assert length == 65
    assert len(sealed) <= record
    assert len(body) <= 4096  # RFC 8291 section 4
    receiver = private.public_key().public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)
    shared = private.exchange(ec.ECDH(), ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), sender))
    secret = hkdf(auth, shared, b"WebPush: info\x00" + receiver + sender, 32)
    key = hkdf(salt, secret, b"Content-Encoding: aes128gcm\x00", 16)
    nonce = hkdf(salt, secret, b"Content-Encoding: nonce\x00", 12)
    padded = AESGCM(key).decrypt(nonce, sealed, None)
    words, delimiter, padding = padded.rpartition(b"\x02")  # of the last record
    assert delimiter
    assert set(padding) <= {0}
    return words


def test_the_example_of_the_standard_is_decrypted():
    private = ec.derive_private_key(int.from_bytes(unpadded(EXAMPLE["private"]), "big"), ec.SECP256R1())
    public = private.public_key().public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)
    assert base64url(public) == EXAMPLE["public"]
    assert decrypted(unpadded(EXAMPLE["body"]), private, unpadded(EXAMPLE["auth"])) == EXAMPLE["plaintext"]


class Browser:
    """Keys of a browser that takes notices."""

    def __init__(self) -> None:
        self.private = ec.generate_private_key(ec.SECP256R1())
        self.auth = b"sixteen octets!!"
        point = self.private.public_key().public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)
        self.p256dh = base64url(point)

    def subscribe(self, customer, endpoint: str) -> PushSubscription:
        return PushSubscription.objects.create(
            customer=customer, endpoint=endpoint, p256dh=self.p256dh, auth=base64url(self.auth)
        )


@pytest.fixture
def pushed(cast, settings):
    """(what the push service heard, the browser, the letter) of a notice that was really pushed."""
    settings.DEMO, settings.VAPID_KEY = True, draw_vapid_key()
    with other_side() as service:
        service.status, service.answer = 201, b""
        job, browser = cast.job_at("quoted"), Browser()
        run()
        Letter.objects.all().update(state="sent")
        browser.subscribe(job.customer, service.url)
        letter = Letter.objects.get(kind="quote_sent")
        notice = Letter.objects.create(
            entry=letter.entry,
            job=job,
            person=job.customer,
            channel="push",
            kind="quote_sent",
            to_address="devices",
            text="There is news about your repair.",
            message_id="<notice@localhost>",
            next_attempt_at=letter.made_at,
            essential=True,
        )
        assert deliver.deliver(notice.pk) == "sent"
        yield service.heard[0], browser, notice


def test_what_was_pushed_is_read_by_the_browser_and_by_nobody_else(pushed):
    heard, browser, letter = pushed
    told = json.loads(decrypted(heard.body, browser.private, browser.auth))
    assert told["title"] == "Tidewater Camera Works"
    assert told["body"] == "There is news about your repair."
    assert told["path"] == f"/my/{letter.job.shown_ref}/"
    with pytest.raises(InvalidTag):
        decrypted(heard.body, Browser().private, browser.auth)


def test_what_was_pushed_says_nothing_about_anybody(pushed):
    heard, browser, letter = pushed
    told = decrypted(heard.body, browser.private, browser.auth).decode()
    person = letter.person
    for secret in (person.name, person.called, person.email, person.telephone, letter.job.item.name, "open/"):
        assert secret not in told


def test_the_headers_are_those_of_the_standard(pushed):
    headers = pushed[0].headers
    assert headers["content-encoding"] == "aes128gcm"  # RFC 8291 section 4
    assert headers["ttl"] == "86400"  # RFC 8030 section 5.2
    assert headers["urgency"] in ("very-low", "low", "normal", "high")  # section 5.3
    assert 0 < len(headers["topic"]) <= 32  # section 5.4
    assert set(headers["topic"]) <= set("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_")
    assert int(headers["content-length"]) == len(pushed[0].body)


def test_the_signature_is_ours_for_that_service_and_for_less_than_a_day(pushed, settings):
    heard, _browser, _letter = pushed
    scheme, _space, parameters = heard.headers["authorization"].partition(" ")
    told = dict(each.strip().split("=", 1) for each in parameters.split(","))
    assert scheme == "vapid"
    assert told["k"] == vapid.public_key()  # RFC 8292 section 3
    head, claims, signature = told["t"].split(".")
    assert json.loads(unpadded(head)) == {"typ": "JWT", "alg": "ES256"}  # section 2
    raw = unpadded(signature)
    r, s = int.from_bytes(raw[:32], "big"), int.from_bytes(raw[32:], "big")
    key = ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), unpadded(told["k"]))
    key.verify(encode_dss_signature(r, s), f"{head}.{claims}".encode(), ec.ECDSA(hashes.SHA256()))
    said = json.loads(unpadded(claims))
    assert said["aud"] == f"http://{heard.headers['host']}"
    assert time.time() < said["exp"] <= time.time() + 24 * 3600
    assert said["sub"] == "mailto:bench@tidewater.example"


def test_the_public_key_is_a_point_of_the_curve(settings):
    settings.VAPID_KEY = draw_vapid_key()
    point = unpadded(vapid.public_key())
    assert len(point) == 65
    ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), point)
