"""News that was signed days ago, or is dated ahead of our clock, is set aside: as real providers sign it, to our own address."""

import base64
import hashlib
import hmac
import json
import time
from datetime import UTC, datetime, timedelta

import pytest
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec

from notifications.models import Incoming, Told
from notifications.timely import AHEAD, OLDEST, is_timely
from tests.notifications.replies.mails import reply
from tests.notifications.test_providers import ANYMAIL, letter, mailgun, post, provider, state_of  # noqa: F401

SOON = timedelta(minutes=1)
OLD = [OLDEST + SOON, -AHEAD - SOON]
FRESH = [timedelta(0), OLDEST - SOON, -AHEAD + SOON]
SIGNING = "mailersend-signing-secret"
CURVE = ec.generate_private_key(ec.SECP256R1())


def ago(age: timedelta) -> datetime:
    return datetime.now(UTC) - age


def mailersend(told: dict) -> tuple[str, dict[str, str]]:
    """The body and the head: as its documentation says, a SHA-256 HMAC of the body."""
    body = json.dumps(told)
    return body, {"HTTP_SIGNATURE": hmac.new(SIGNING.encode(), body.encode(), hashlib.sha256).hexdigest()}


def activity(letter, age: timedelta) -> dict:  # noqa: F811
    email = {"message": {"id": "their-name"}, "recipient": {"email": letter.to_address}}
    morph = {"object": "recipient_bounce", "reason": "no such user"}
    data = {"id": "event-1", "type": "hard_bounced", "created_at": ago(age).isoformat()}
    return {"type": "activity.hard_bounced", "data": {**data, "email": email, "morph": morph}}


def sendgrid(letter, age: timedelta) -> tuple[str, dict[str, str]]:  # noqa: F811
    """A list of events; ECDSA over the time in the head and the body."""
    told = {"event": "bounce", "email": letter.to_address, "sg_event_id": "1", "anymail_id": "their-name"}
    body, when = json.dumps([told]), str(int(ago(age).timestamp()))
    signature = CURVE.sign((when + body).encode(), ec.ECDSA(hashes.SHA256()))
    head = "HTTP_X_TWILIO_EMAIL_EVENT_WEBHOOK_"
    return body, {head + "SIGNATURE": base64.b64encode(signature).decode(), head + "TIMESTAMP": when}


@pytest.fixture
def keys(settings):
    form = serialization.PublicFormat.SubjectPublicKeyInfo
    pem = CURVE.public_key().public_bytes(serialization.Encoding.PEM, form).decode()
    key = "".join(line for line in pem.splitlines() if not line.startswith("---"))
    settings.ANYMAIL = {
        **ANYMAIL,
        "MAILERSEND_SIGNING_SECRET": SIGNING,
        "MAILERSEND_INBOUND_SECRET": SIGNING,
        "SENDGRID_TRACKING_WEBHOOK_VERIFICATION_KEY": key,
    }
    return settings


def bring(name: str, letter, age: timedelta, settings) -> int:  # noqa: F811
    """Posts news of a bounce; the status of the answer."""
    settings.MAIL_PROVIDER = name
    if name == "mailgun":
        return post(name, "tracking", mailgun(letter, "failed", age=age)).status_code
    body, head = sendgrid(letter, age) if name == "sendgrid" else mailersend(activity(letter, age))
    return post(name, "tracking", body, **head).status_code


@pytest.mark.filterwarnings("ignore:django-anymail has dropped official support for SendGrid")
@pytest.mark.parametrize("name", ["mailgun", "mailersend", "sendgrid"])
@pytest.mark.parametrize("age", FRESH)
def test_what_was_signed_lately_is_acted_upon(letter, keys, name, age):  # noqa: F811
    assert bring(name, letter, age, keys) == 200
    assert state_of(letter)["state"] == "returned"


@pytest.mark.filterwarnings("ignore:django-anymail has dropped official support for SendGrid")
@pytest.mark.parametrize("name", ["mailgun", "mailersend", "sendgrid"])
@pytest.mark.parametrize("age", OLD)
def test_what_is_too_old_or_dated_ahead_is_logged_and_changes_nothing(letter, keys, caplog, name, age):  # noqa: F811
    assert bring(name, letter, age, keys) == 200
    assert state_of(letter)["state"] == "sent"
    assert not Told.objects.exists()
    assert "was set aside" in caplog.text
    assert letter.to_address not in caplog.text


def test_an_old_signature_opens_no_way_for_another_body(letter, provider):  # noqa: F811
    """Mailgun's signature does not cover the event: only the time and a token."""
    told = mailgun(letter, "delivered", age=OLD[0])
    told["event-data"] = mailgun(letter, "complained", 7)["event-data"]
    assert post(provider("mailgun"), "tracking", told).status_code == 200
    assert state_of(letter)["wants_progress"]


@pytest.mark.parametrize("when", ["", "soon", None, [], {}, "1e400", "nan", 10**400])
def test_a_time_that_is_none_is_refused_or_set_aside(letter, provider, when):  # noqa: F811
    told = mailgun(letter, "failed")
    told["signature"]["timestamp"] = when
    assert post(provider("mailgun"), "tracking", told).status_code in (200, 400)
    assert state_of(letter)["state"] == "sent"


@pytest.mark.parametrize(("age", "kept"), [(timedelta(0), 1), (OLD[0], 0)])
def test_an_old_reply_is_set_aside_too(letter, keys, age, kept):  # noqa: F811
    keys.MAIL_PROVIDER = "mailersend"
    data = {
        "id": "inbound-1",
        "created_at": ago(age).isoformat(),
        "raw": reply(letter.job, "Yes, please.").decode(),
    }
    body, head = mailersend({"type": "inbound.message", "data": data})
    assert post("mailersend", "inbound", body, **head).status_code == 200
    assert Incoming.objects.count() == kept


@pytest.mark.parametrize("moment", [float("nan"), float("inf"), float("-inf"), 0.0, -1e300, 1e300])
def test_odd_moments_are_not_timely(moment):
    assert not is_timely(moment)


def test_now_is_timely():
    assert is_timely(time.time())
