"""The settings of the reply box, against a real IMAP server and a real mail server."""

from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from notifications.models import ReplyBox
from notifications.replies import address
from notifications.sealing import unseal
from tests.cast import Cast
from tests.imap import Mailbox

PAGE = "/office/settings/replies/"
pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def mailbox() -> Any:
    mailbox = Mailbox()
    yield mailbox
    mailbox.close()


@pytest.fixture
def owner(cast: Cast, mail_to_sink: Any) -> Client:
    client = Client()
    client.force_login(cast.owner_user)
    return client


def typed(mailbox: Mailbox, **more: object) -> dict[str, object]:
    return {
        "address": "bench@tidewater.example",
        "host": "127.0.0.1",
        "port": mailbox.port,
        "security": "none",
        "user": "bench",
        "mail_password": "a password",
        "folder": "INBOX",
        **more,
    }


def test_a_box_is_kept_with_its_password_sealed(owner: Client, mailbox: Mailbox) -> None:
    assert owner.post(PAGE, typed(mailbox)).status_code == 303
    box = ReplyBox.objects.get()
    assert "a password" not in box.sealed_password
    assert unseal(box.sealed_password) == "a password"


def test_the_password_never_comes_back(owner: Client, mailbox: Mailbox) -> None:
    owner.post(PAGE, typed(mailbox))
    assert "a password" not in owner.get(PAGE).content.decode()


def test_keeping_it_sends_the_letter_that_proves_signed_addresses(
    owner: Client, mailbox: Mailbox, sink: Any
) -> None:
    owner.post(PAGE, typed(mailbox))
    assert sink.recipients == [address.proof("bench@tidewater.example")]
    page = owner.get(PAGE).content.decode()
    assert "Not used yet" in page


def test_once_proved_the_page_shows_how_addresses_look(owner: Client, mailbox: Mailbox) -> None:
    owner.post(PAGE, typed(mailbox))
    ReplyBox.objects.update(plus_proved_at=timezone.now())
    page = owner.get(PAGE).content.decode()
    assert "bench+" in page
    assert "Not used yet" not in page


def test_an_empty_password_stands_for_the_one_that_is_kept(owner: Client, mailbox: Mailbox) -> None:
    owner.post(PAGE, typed(mailbox))
    ReplyBox.objects.update(plus_proved_at=timezone.now(), last_uid=7, uid_validity=3)
    owner.post(PAGE, typed(mailbox, mail_password="", port=mailbox.port))
    box = ReplyBox.objects.get()
    assert unseal(box.sealed_password) == "a password"
    assert (box.last_uid, box.plus_proved_at is not None) == (7, True)


def test_another_server_does_not_get_the_password_that_is_kept(owner: Client, mailbox: Mailbox) -> None:
    owner.post(PAGE, typed(mailbox))
    answer = owner.post(PAGE, typed(mailbox, mail_password="", host="localhost"))
    assert answer.status_code == 422
    assert "Type the password of this mailbox." in answer.content.decode()
    assert ReplyBox.objects.get().host == "127.0.0.1"


def test_another_address_has_to_be_proved_again(owner: Client, mailbox: Mailbox) -> None:
    owner.post(PAGE, typed(mailbox))
    ReplyBox.objects.update(plus_proved_at=timezone.now())
    owner.post(PAGE, typed(mailbox, address="post@tidewater.example"))
    assert ReplyBox.objects.get().plus_proved_at is None


def test_it_can_be_tried_without_being_kept(owner: Client, mailbox: Mailbox) -> None:
    page = owner.post(PAGE, typed(mailbox, test="1"))
    assert page.status_code == 200
    assert "We can log in and read the folder." in page.content.decode()
    assert not ReplyBox.objects.exists()


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"mail_password": "wrong"}, "does not take this user name"),
        ({"port": 9}, "not at this port"),
        ({"folder": "Nowhere"}, "no folder of that name"),
        ({"security": "tls"}, "TLS"),
    ],
    ids=["password", "port", "folder", "security"],
)
def test_a_try_that_fails_says_why_and_keeps_what_was_typed(
    owner: Client, mailbox: Mailbox, more: dict[str, object], words: str
) -> None:
    answer = owner.post(PAGE, typed(mailbox, test="1", **more))
    assert answer.status_code == 422
    page = answer.content.decode()
    assert words in page
    assert 'value="bench@tidewater.example"' in page


@pytest.mark.parametrize("name", ["address", "host", "port", "security", "user"])
def test_what_is_missing_is_said_beside_its_field(owner: Client, mailbox: Mailbox, name: str) -> None:
    answer = owner.post(PAGE, typed(mailbox, **{name: ""}))
    assert answer.status_code == 422
    assert "role=" in answer.content.decode()
    assert not ReplyBox.objects.exists()


def test_emptying_everything_does_without(owner: Client, mailbox: Mailbox) -> None:
    owner.post(PAGE, typed(mailbox))
    owner.post(PAGE, dict.fromkeys(typed(mailbox), ""))
    assert not ReplyBox.objects.exists()


def test_a_box_that_cannot_be_read_is_said_on_the_first_page(owner: Client, mailbox: Mailbox) -> None:
    owner.post(PAGE, typed(mailbox))
    ReplyBox.objects.update(trouble="Nobody answered in time.")
    assert "The reply box" in owner.get("/office/").content.decode()
    assert "Nobody answered in time." in owner.get(PAGE).content.decode()


def test_a_proof_that_cannot_go_is_told_and_the_box_is_kept_all_the_same(
    owner: Client, mailbox: Mailbox, sink: Any
) -> None:
    sink.behave("5xx")
    owner.post(PAGE, typed(mailbox))
    assert "did not go out" in owner.get(PAGE).content.decode()
    assert ReplyBox.objects.exists()


def test_the_test_letter_can_be_sent_again(owner: Client, mailbox: Mailbox, sink: Any) -> None:
    owner.post(PAGE, typed(mailbox))
    owner.post(PAGE, {"prove": "1"})
    assert len(sink.recipients) == 2


def test_where_a_provider_takes_answers_in_the_page_says_so(owner: Client, settings: Any) -> None:
    settings.MAIL_PROVIDER, settings.REPLY_ADDRESS = "postmark", "reply@in.example.org"
    page = owner.get(PAGE).content.decode()
    assert "takes answers in at reply@in.example.org" in page
    assert "reply+" in page
    assert "by the mail provider postmark" in owner.get("/office/settings/").content.decode()
