"""One click to leave out letters of progress, as RFC 8058 has it: the very request that a mail program sends."""

from email import message_from_bytes, policy
from urllib.parse import urlsplit

import pytest
from django.test import Client

from jobs.actions import arriving
from jobs.models import Customer
from notifications import deliver, message, relay
from notifications.models import Letter
from tests.cast import Cast, make_cast

pytestmark = pytest.mark.django_db
BODY = b"List-Unsubscribe=One-Click"  # RFC 8058 section 3.2: exactly this key and value, 26 octets


@pytest.fixture
def cast() -> Cast:
    return make_cast()


@pytest.fixture
def address(cast: Cast) -> str:
    """The path in the header of a letter as it leaves the house."""
    cast.job_at("arrived")
    relay.run()
    raw = message.build(Letter.objects.get(kind="arrived"), "bench@tidewater.example")
    mail = message_from_bytes(raw, policy=policy.default)
    assert mail["List-Unsubscribe-Post"].encode() == BODY
    return urlsplit(mail["List-Unsubscribe"].strip("<>")).path


def press(address: str, body: bytes = BODY, kind: str = "application/x-www-form-urlencoded"):  # type: ignore[no-untyped-def]
    return Client(enforce_csrf_checks=True).post(address, body, content_type=kind)


def wants() -> bool:
    return Customer.objects.get().wants_progress


def test_the_body_has_26_octets() -> None:
    assert len(BODY) == 26


def test_one_post_without_cookie_or_context_is_enough(address: str) -> None:
    """Sections 3.1 and 3.2: no cookies, no HTTP authorisation, no redirect."""
    answer = press(address)
    assert answer.status_code == 200
    assert not answer.cookies
    assert not wants()


def test_the_other_form_of_body_counts_as_well(address: str) -> None:
    """Section 3.2: multipart/form-data is the preferred one."""
    bound = b"4hours"
    body = (
        b'--%s\r\nContent-Disposition: form-data; name="List-Unsubscribe"\r\n\r\nOne-Click\r\n--%s--\r\n'
        % (bound, bound)
    )
    assert press(address, body, "multipart/form-data; boundary=4hours").status_code == 200
    assert not wants()


@pytest.mark.parametrize("method", ["get", "head"])
def test_looking_changes_nothing(address: str, method: str) -> None:
    """Section 1: programs that scan mail follow links by GET."""
    assert getattr(Client(), method)(address).status_code == 200
    assert wants()


def test_it_holds_for_the_letters_that_wait_already(address: str, cast: Cast) -> None:
    """And only for those of progress: the quote still comes."""
    waiting = Letter.objects.get(kind="arrived")
    arriving.start_examination(waiting.job, cast.technician)
    cast.send_quote(waiting.job)
    press(address)
    assert deliver.deliver(waiting.pk) == "skipped"
    relay.run()
    assert Letter.objects.get(kind="quote_sent").state == "waiting"


def test_an_essential_letter_offers_no_such_thing(cast: Cast) -> None:
    cast.book()
    relay.run()
    raw = message.build(Letter.objects.get(kind="booked"), "bench@tidewater.example")
    assert b"List-Unsubscribe" not in raw


def test_the_page_says_what_cannot_be_left_out_and_why(address: str) -> None:
    page = Client().get(address).content.decode()
    assert "Quotes, answers and “it is ready” still come, because without them nothing goes on." in page
