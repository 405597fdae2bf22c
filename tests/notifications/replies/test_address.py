"""The address of a reply."""

import pytest
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st

from jobs.models import Customer
from notifications import relay
from notifications.models import Letter, ReplyBox
from notifications.replies import address
from tests.notifications.replies.mails import BOX


@pytest.fixture
def job(cast):
    return cast.book()


@pytest.fixture
def letter(job):
    relay.run()
    return Letter.objects.select_related("job", "person").get(kind="booked")


def box(**more):
    return ReplyBox.objects.create(host="imap.example.org", user="bench", address=BOX, **more)


def test_a_signed_address_leads_to_its_job_and_person(job):
    assert address.whose(address.signed(BOX, job, job.customer)) == (job, job.customer)


def test_a_signed_address_may_come_back_in_another_case(job):
    assert address.whose(address.signed(BOX, job, job.customer).upper()) == (job, job.customer)


def test_an_altered_address_leads_nowhere(job, cast):
    signed = address.signed(BOX, job, job.customer)
    other = cast.another_book()
    local, _at, domain = signed.partition("@")
    last = "a" if local[-1] != "a" else "b"
    assert address.whose(f"{local[:-1]}{last}@{domain}") is None
    assert address.whose(signed.replace(job.ref.lower(), other.ref.lower())) is None
    assert address.whose(signed.replace(job.ref.lower(), "0000000")) is None


def test_an_address_signed_with_another_key_leads_nowhere(job, settings):
    signed = address.signed(BOX, job, job.customer)
    settings.SECRET_KEY = "another-key"
    assert address.whose(signed) is None


def test_an_address_signed_with_the_key_before_still_counts(job, settings):
    signed = address.signed(BOX, job, job.customer)
    settings.SECRET_KEY_FALLBACKS = [settings.SECRET_KEY]
    settings.SECRET_KEY = "another-key"
    assert address.whose(signed) == (job, job.customer)


def test_correcting_a_customers_address_makes_older_ones_void(job):
    signed = address.signed(BOX, job, job.customer)
    Customer.objects.filter(pk=job.customer_id).update(email="new@example.org")
    assert address.whose(signed) is None


def test_a_signature_has_eighty_bits_and_the_local_part_fits(job):
    local = address.signed(BOX, job, job.customer).partition("@")[0]
    assert len(local.rpartition(".")[2]) * 5 == 80
    assert len(local) <= 64
    assert local == local.lower()


def test_a_mailbox_whose_name_leaves_no_room_is_not_signed(job):
    assert address.signed("b" * 50 + "@example.org", job, job.customer) == ""


@given(st.text(max_size=80))
@pytest.mark.django_db
def test_no_text_at_all_is_taken_for_a_signed_address(text):
    assert address.whose(text) is None
    assert address.whose(f"bench+{text}@example.org") is None


def test_without_a_reply_box_answers_go_to_the_workshop(letter):
    assert address.reply_to(letter) == "bench@tidewater.example"


def test_until_signed_addresses_are_proved_answers_go_to_the_plain_box(letter):
    box()
    assert address.reply_to(letter) == BOX


def test_a_proved_box_gets_signed_addresses(letter):
    box(plus_proved_at=timezone.now())
    assert address.whose(address.reply_to(letter)) == (letter.job, letter.person)


def test_a_provider_that_takes_replies_in_gets_signed_addresses(letter, settings):
    settings.REPLY_ADDRESS = "reply@in.example.org"
    signed = address.reply_to(letter)
    assert signed.startswith("reply+")
    assert signed.endswith("@in.example.org")
    assert address.whose(signed) == (letter.job, letter.person)


def test_the_letter_itself_carries_the_signed_address(letter):
    from email import message_from_bytes

    from notifications import message

    box(plus_proved_at=timezone.now())
    mail = message_from_bytes(message.build(letter, "bench@tidewater.example"))
    assert address.signed(BOX, letter.job, letter.person) in mail["Reply-To"].replace("\r\n ", "")
