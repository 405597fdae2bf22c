"""What a provider tells: posted as two real providers document it, to our own address, through django-anymail's own views."""

import base64
import hashlib
import hmac
import itertools
import json
from datetime import UTC, datetime, timedelta

import pytest
from django.test import Client
from django.urls import reverse

from jobs.models import Kind
from jobs.words import Way
from notifications import relay, returned, ways
from notifications.models import Incoming, Letter, Told
from notifications.replies import taking
from tests.notifications.replies.mails import reply, to
from tests.notifications.scenes import told_of_a_quote
from tests.once import made_once

SECRET = "hook:a-long-random-word"
KEY = "signing-key"
ANYMAIL = {
    "WEBHOOK_SECRET": SECRET,
    "POSTMARK_SERVER_TOKEN": "t",
    "MAILGUN_API_KEY": "k",
    "MAILGUN_WEBHOOK_SIGNING_KEY": KEY,
}


@pytest.fixture
def provider(settings):
    """Sets the provider: provider("postmark")."""

    def use(name):
        settings.MAIL_PROVIDER, settings.ANYMAIL = name, ANYMAIL
        return name

    return use


@pytest.fixture
def letter(cast):
    letter = made_once(told_of_a_quote, cast)
    Letter.objects.filter(pk=letter.pk).update(state=Letter.State.SENT, provider_id="their-name")
    return letter


def post(name: str, what: str, told, secret: str = SECRET, **more):
    """`told`: a dictionary goes as JSON; `more` to the client."""
    auth = {"HTTP_AUTHORIZATION": "Basic " + base64.b64encode(secret.encode()).decode()} if secret else {}
    body = json.dumps(told) if isinstance(told, dict) else told
    return Client(enforce_csrf_checks=True).post(
        reverse("mail_hook", args=[name, what]), body, content_type="application/json", **auth, **more
    )


def postmark(letter, kind: str, **more):
    """As its documentation writes them (bounce, delivery and spam complaint webhooks)."""
    told = {
        "MessageID": "their-name",
        "Metadata": {"letter": letter.uid.hex},
        "Tag": "",
        "ServerID": 23,
        "MessageStream": "outbound",
    }
    if kind == "Delivery":
        told |= {"Recipient": letter.to_address, "DeliveredAt": "2026-11-03T16:33:54Z", "Details": "250 OK"}
    else:
        told |= {
            "ID": 42,
            "Type": "HardBounce",
            "TypeCode": 1,
            "Name": "Hard bounce",
            "Details": "smtp;550 5.1.1 The email account that you tried to reach does not exist.",
            "Description": "The server was unable to deliver your message.",
            "Email": letter.to_address,
            "BouncedAt": "2026-11-03T16:33:54Z",
        }
    if kind == "SpamComplaint":
        told |= {"ID": 43, "Type": "SpamComplaint", "TypeCode": 100001, "Name": "Spam complaint"}
    return {"RecordType": kind, **told, **more}


def mailgun(letter, event: str, n: int = 1, age: timedelta = timedelta(0), **more):
    """As its documentation writes them: an event and a signature over time and token."""
    token, when = f"token-{n}", str(int((datetime.now(UTC) - age).timestamp()))
    signature = hmac.new(KEY.encode(), f"{when}{token}".encode(), hashlib.sha256).hexdigest()
    data = {
        "event": event,
        "id": f"event-{n}",
        "timestamp": 1762186434.5,
        "recipient": letter.to_address,
        "message": {"headers": {"message-id": letter.message_id.strip("<>"), "to": letter.to_address}},
        "user-variables": {"letter": letter.uid.hex},
        "delivery-status": {"code": 250, "message": "OK"},
        **more,
    }
    if event == "failed":
        data |= {
            "severity": "permanent",
            "reason": "bounce",
            "delivery-status": {"code": 550, "message": "5.1.1 no such user", "description": ""},
        }
    return {"signature": {"timestamp": when, "token": token, "signature": signature}, "event-data": data}


def state_of(letter) -> dict:
    letter.refresh_from_db()
    letter.person.refresh_from_db()
    came_back = letter.job.entries.filter(kind=Kind.CAME_BACK)
    return {
        "state": letter.state,
        "arrived": letter.arrived_at is not None,
        "dead": ways.is_dead(Way.EMAIL, letter.to_address),
        "wants_progress": letter.person.wants_progress,
        "told": sorted(entry.data["why"] for entry in came_back),
    }


# --- two providers ---------------------------------------------------------------------------------------------------

NEWS = {
    "postmark": lambda letter: {
        "delivered": postmark(letter, "Delivery"),
        "bounced": postmark(letter, "Bounce"),
        "complained": postmark(letter, "SpamComplaint"),
    },
    "mailgun": lambda letter: {
        "delivered": mailgun(letter, "delivered", 1),
        "bounced": mailgun(letter, "failed", 2),
        "complained": mailgun(letter, "complained", 3),
    },
}


@pytest.mark.parametrize("name", NEWS)
def test_a_delivery_is_noted(letter, provider, name):
    assert post(provider(name), "tracking", NEWS[name](letter)["delivered"]).status_code == 200
    assert state_of(letter)["arrived"]


@pytest.mark.parametrize("name", NEWS)
def test_a_letter_in_doubt_that_was_delivered_is_sent(letter, provider, name):
    Letter.objects.filter(pk=letter.pk).update(state=Letter.State.AMBIGUOUS)
    post(provider(name), "tracking", NEWS[name](letter)["delivered"])
    assert state_of(letter)["state"] == Letter.State.SENT


@pytest.mark.parametrize("name", NEWS)
def test_a_bounce_returns_the_letter_closes_the_address_and_tells_the_workshop(letter, provider, name):
    post(provider(name), "tracking", NEWS[name](letter)["bounced"])
    assert state_of(letter) == {
        "state": Letter.State.RETURNED,
        "arrived": False,
        "dead": True,
        "wants_progress": True,
        "told": ["bounced"],
    }
    relay.run()
    assert Letter.objects.filter(kind="staff_came_back").exists()


@pytest.mark.parametrize("name", NEWS)
def test_a_complaint_ends_letters_of_progress(letter, provider, name):
    post(provider(name), "tracking", NEWS[name](letter)["complained"])
    state = state_of(letter)
    assert (state["state"], state["wants_progress"], state["told"]) == ("sent", False, ["complained"])


@pytest.mark.parametrize("name", NEWS)
@pytest.mark.parametrize(
    "order", list(itertools.permutations(["delivered", "bounced", "complained"])), ids="-".join
)
def test_news_twice_and_in_any_order_lead_to_the_same_end(letter, provider, name, order):
    provider(name)
    news = NEWS[name](letter)
    for kind in (*order, *order):
        assert post(name, "tracking", news[kind]).status_code == 200
    state = state_of(letter)
    assert state == {
        "state": Letter.State.RETURNED,
        "arrived": True,
        "dead": True,
        "wants_progress": False,
        "told": ["bounced", "complained"],
    }
    assert Told.objects.count() == 3


def test_news_without_our_name_finds_the_letter_by_the_providers(letter, provider):
    post(provider("postmark"), "tracking", postmark(letter, "Delivery", Metadata={}))
    assert state_of(letter)["arrived"]


def test_news_about_another_recipient_is_none_of_the_letters(letter, provider):
    post(provider("postmark"), "tracking", postmark(letter, "Bounce", Email="old@example.org"))
    assert state_of(letter)["state"] == Letter.State.SENT


def test_news_about_a_letter_that_is_not_ours_is_taken_and_forgotten(letter, provider):
    told = postmark(letter, "Bounce", Metadata={}, MessageID="somebody-elses")
    assert post(provider("postmark"), "tracking", told).status_code == 200
    assert not Told.objects.exists()


def test_a_bounce_that_is_not_the_addresss_fault_leaves_it_open(letter, provider):
    told = mailgun(letter, "failed")
    told["event-data"] |= {"reason": "generic", "delivery-status": {"code": 552, "message": "mailbox full"}}
    post(provider("mailgun"), "tracking", told)
    assert state_of(letter)["state"] == Letter.State.RETURNED


def test_a_delay_changes_nothing(letter, provider):
    told = mailgun(letter, "failed")
    told["event-data"]["severity"] = "temporary"
    post(provider("mailgun"), "tracking", told)
    assert state_of(letter)["state"] == Letter.State.SENT


def test_who_opened_a_letter_is_not_kept(letter, provider):
    told = {
        "RecordType": "Open",
        "MessageID": "x",
        "Metadata": {"letter": letter.uid.hex},
        "ReceivedAt": "2026-11-03T16:33:54Z",
    }
    assert post(provider("postmark"), "tracking", told).status_code == 200
    assert not Told.objects.exists()


# --- who may tell ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("secret", ["", "hook:another-word", "hook:"], ids=["none", "another", "half"])
def test_without_the_secret_nothing_changes(letter, provider, secret, caplog):
    answer = post(provider("postmark"), "tracking", postmark(letter, "Bounce"), secret=secret)
    assert answer.status_code == 400
    assert state_of(letter)["state"] == Letter.State.SENT
    assert "refused" in caplog.text
    assert "orla@example.org" not in caplog.text


def test_a_forged_signature_changes_nothing(letter, provider):
    told = mailgun(letter, "failed")
    told["signature"]["signature"] = "0" * 64
    assert post(provider("mailgun"), "tracking", told).status_code == 400
    assert state_of(letter)["state"] == Letter.State.SENT


def test_a_hook_without_a_secret_of_ours_is_shut(letter, settings):
    settings.MAIL_PROVIDER, settings.ANYMAIL = "postmark", {"POSTMARK_SERVER_TOKEN": "t"}
    assert post("postmark", "tracking", postmark(letter, "Bounce"), secret="").status_code == 403


@pytest.mark.parametrize(
    ("name", "what"), [("mailgun", "tracking"), ("postmark", "nothing"), ("postmark", "inbound_mime")]
)
def test_another_provider_or_address_is_not_there(letter, provider, name, what):
    provider("postmark")
    assert post(name, what, postmark(letter, "Bounce")).status_code == 404


def test_without_a_provider_there_are_no_hooks(letter):
    assert post("postmark", "tracking", postmark(letter, "Bounce")).status_code == 404


@pytest.mark.parametrize("body", ["{", "[]", "null", '{"RecordType": 4}', "\xff"])
def test_what_cannot_be_understood_is_refused(letter, provider, body):
    assert post(provider("postmark"), "tracking", body).status_code in (200, 400)
    assert state_of(letter)["state"] == Letter.State.SENT


def test_a_fault_of_ours_is_told_so_that_the_provider_tells_it_again(letter, provider, monkeypatch):
    def broken(*_args, **_more):
        raise KeyError

    provider("postmark")
    client = Client(raise_request_exception=False)
    auth = "Basic " + base64.b64encode(SECRET.encode()).decode()
    address = reverse("mail_hook", args=["postmark", "tracking"])
    with monkeypatch.context() as patched:
        patched.setattr(returned, "came_back", broken)
        first = client.post(
            address,
            json.dumps(postmark(letter, "Bounce")),
            content_type="application/json",
            HTTP_AUTHORIZATION=auth,
        )
    assert first.status_code == 500
    assert not Told.objects.exists()
    assert post("postmark", "tracking", postmark(letter, "Bounce")).status_code == 200
    assert state_of(letter)["state"] == Letter.State.RETURNED


# --- replies ---------------------------------------------------------------------------------------------------------


def inbound(job, raw: bytes, **more):
    """Postmark's inbound webhook with the raw message in it."""
    return {
        "FromName": "Orla Fennimore",
        "FromFull": {"Email": job.customer.email, "Name": "Orla Fennimore", "MailboxHash": ""},
        "ToFull": [{"Email": to(job), "Name": "", "MailboxHash": ""}],
        "CcFull": [],
        "BccFull": [],
        "OriginalRecipient": to(job),
        "MessageID": "22c74902-a0c1-4511-804f2-341342852c90",
        "Headers": [{"Name": "Return-Path", "Value": f"<{job.customer.email}>"}],
        "RawEmail": raw.decode(),
        **more,
    }


def test_a_reply_that_a_provider_brings_asks_its_question(letter, provider):
    assert post(provider("postmark"), "inbound", inbound(letter.job, reply(letter.job))).status_code == 200
    incoming = Incoming.objects.get()
    assert taking.take(incoming.pk) == Incoming.State.TAKEN
    assert letter.job.questions.get().text == "Will it last?"


def test_the_same_reply_brought_twice_asks_once(letter, provider):
    provider("postmark")
    for _ in range(2):
        post("postmark", "inbound", inbound(letter.job, reply(letter.job)))
    assert Incoming.objects.count() == 1


def test_for_whom_it_came_counts_where_the_letter_does_not_say(letter, provider):
    raw = reply(letter.job, To="undisclosed-recipients:;")
    post(provider("postmark"), "inbound", inbound(letter.job, raw))
    assert taking.take(Incoming.objects.get().pk) == Incoming.State.TAKEN


def test_a_bounce_message_that_is_brought_in_is_known_by_its_empty_sender(letter, provider):
    told = inbound(letter.job, reply(letter.job), Headers=[{"Name": "Return-Path", "Value": "<>"}])
    post(provider("postmark"), "inbound", told)
    assert taking.take(Incoming.objects.get().pk) == Incoming.State.ROBOT


def test_a_reply_of_several_megabytes_is_taken(letter, provider):
    """Django's bound for forms is one megabyte; a photograph is larger."""
    raw = reply(letter.job) + b"\r\n" + b"x" * 75 * 40_000
    assert post(provider("postmark"), "inbound", inbound(letter.job, raw)).status_code == 200


def test_a_reply_without_the_secret_is_not_kept(letter, provider):
    assert (
        post(provider("postmark"), "inbound", inbound(letter.job, reply(letter.job)), secret="").status_code
        == 400
    )
    assert not Incoming.objects.exists()


def test_a_reply_of_fifty_megabytes_is_refused_by_its_size_and_logged(letter, provider, caplog):
    body = b'{"RawEmail": "' + b"x" * 50 * 1024 * 1024 + b'"}'
    assert post(provider("postmark"), "inbound", body).status_code == 413
    assert "larger than" in caplog.text
    assert not Incoming.objects.exists()


def test_what_does_not_prove_itself_is_refused_before_its_body_is_read(letter, provider):
    body = b'{"RawEmail": "' + b"x" * 50 * 1024 * 1024 + b'"}'
    assert post(provider("postmark"), "inbound", body, secret="").status_code == 400


@pytest.mark.parametrize("sign", ["\ud83d", "\udcf7\ud83d", "\x00"], ids=ascii)
def test_a_reply_with_half_a_sign_in_it_is_taken_all_the_same(letter, provider, sign):
    """A lone half of a surrogate pair can be written in JSON, and nowhere else."""
    raw = reply(letter.job, "Will it last?")
    told = inbound(letter.job, raw, FromName=f"Orla {sign}")
    told["RawEmail"] = told["RawEmail"].replace("Your Corvane", f"Your {sign} Corvane")
    assert post(provider("postmark"), "inbound", told).status_code == 200
    assert taking.take(Incoming.objects.get().pk) == Incoming.State.TAKEN


def test_whole_signs_and_backslashes_come_as_they_were_written(letter, provider):
    text = r"\ud83d and \u0000 and " + "\N{CAMERA}"
    told = inbound(letter.job, reply(letter.job, "Words."))
    told["RawEmail"] = told["RawEmail"].replace("Words.", text)
    assert r"and \ud83d\udcf7" in json.dumps(told)
    post(provider("postmark"), "inbound", told)
    incoming = Incoming.objects.get()
    taking.take(incoming.pk)
    incoming.refresh_from_db()
    assert incoming.text == text


@pytest.mark.parametrize("sign", ["\ud83d", "\x00"], ids=ascii)
def test_news_with_a_sign_that_no_column_takes_is_noted(letter, provider, sign):
    told = postmark(letter, "Bounce", Details=f"550 5.1.1 no {sign} such user", Metadata={})
    assert post(provider("postmark"), "tracking", told).status_code == 200
    assert state_of(letter)["dead"]


def test_a_form_field_that_is_too_large_is_refused_by_its_size(letter, provider):
    provider("mailgun")
    auth = "Basic " + base64.b64encode(SECRET.encode()).decode()
    address = reverse("mail_hook", args=["mailgun", "inbound"])
    answer = Client().post(address, {"body-mime": "x" * 1_200_000}, HTTP_AUTHORIZATION=auth)
    assert answer.status_code == 413
