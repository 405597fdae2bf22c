"""What the office does with letters: the troubled ones, the last of each job, sending again, previews, the mailbox's test."""

import email
from email import policy

import pytest
from django.utils import timezone

from jobs.actions.refusals import Refused
from notifications import claiming, deliver, letters, relay
from notifications.channels import Undelivered
from notifications.mailbox import Mailbox, keep_account, mailbox
from notifications.models import Letter, MailAccount
from notifications.sealing import CannotUnseal, seal, unseal
from tests.notifications.scenes import booked, letter_of


@pytest.fixture
def letter(cast):
    return booked(cast)


def test_a_failed_letter_is_sent_again_with_the_same_identity(letter, mail_to_sink):
    identity = letter.message_id
    mail_to_sink.behave("5xx", spells=1)
    deliver.deliver(letter.pk)
    letters.resend(letter)
    assert (letter.state, letter.attempts) == ("waiting", 0)
    assert deliver.deliver(letter.pk) == "sent"
    assert f"Message-ID: {identity}".encode() in mail_to_sink.letters[0]


def test_sending_again_uses_the_address_that_we_have_now(letter, mail_to_sink):
    letter.person.email = "orla.new@example.org"
    letter.person.save()
    letters.resend(letter)
    deliver.deliver(letter.pk)
    assert mail_to_sink.recipients == ["orla.new@example.org"]


def test_a_skipped_letter_goes_out_when_the_office_asks_for_it(cast, mail_to_sink):
    job = cast.job_at("agreed")
    relay.run()
    letter = letter_of(job, "quote_sent")
    assert letter.state == "skipped"
    letters.resend(letter)
    assert deliver.deliver(letter.pk) == "sent"


def test_a_letter_in_the_mail_servers_hands_is_not_sent_again(letter):
    claiming.claim(letter.pk)
    with pytest.raises(Refused, match="at this moment"):
        letters.resend(letter)


def test_a_letter_to_nowhere_is_refused_and_stays_as_it_was(letter):
    letter.person.email = ""
    letter.person.save()
    Letter.objects.update(state="failed")
    with pytest.raises(Refused, match="no e-mail address"):
        letters.resend(letter)
    assert Letter.objects.get().state == "failed"


def test_the_troubled_are_failed_doubtful_or_tried_too_often(cast):
    kinds = {"failed": 1, "ambiguous": 1, "waiting": 3, "sent": 1}
    for number, (state, attempts) in enumerate(kinds.items()):
        made = booked(cast, email=f"guest{number}@example.org")
        Letter.objects.filter(pk=made.pk).update(state=state, attempts=attempts)
    Letter.objects.filter(pk=booked(cast).pk).update(attempts=2)
    assert sorted(found.state for found in Letter.objects.troubled()) == ["ambiguous", "failed", "waiting"]


def test_the_last_letter_of_each_job_comes_in_one_query(cast, django_assert_num_queries):
    quoted, fresh = cast.job_at("quoted"), cast.another_book()
    relay.run()
    with django_assert_num_queries(1):
        last = Letter.objects.last_of([quoted.pk, fresh.pk])
    assert {job: found.kind for job, found in last.items()} == {quoted.pk: "quote_sent", fresh.pk: "booked"}


def test_a_preview_reads_like_the_letter_and_opens_nothing(every):
    letter = every["quote_sent"]
    seen = letters.preview(letter)
    assert seen.subject == letter.subject
    assert letter.uid.hex not in seen.text
    assert "key-" not in seen.html
    assert f'src="/photo/{letter.photo.uid}/800"' in seen.html


def test_a_test_letter_goes_through_a_mailbox_that_is_not_kept_yet(cast, sink):
    account = MailAccount(
        host="127.0.0.1", port=sink.controller.port, security="none", from_address="bench@tidewater.example"
    )
    letters.send_test_letter(account, "hester@tidewater.example")
    mail = email.message_from_bytes(sink.letters[0], policy=policy.default)
    assert mail["To"] == "hester@tidewater.example"
    assert mail["Subject"] == "A test letter from Tidewater Camera Works"
    assert not MailAccount.objects.exists()


def test_a_test_letter_says_what_the_mail_server_said(cast, sink):
    sink.behave("5xx")
    box = Mailbox("127.0.0.1", sink.controller.port, "bench@tidewater.example")
    with pytest.raises(Undelivered, match="550 nobody of that name here"):
        letters.send_test_letter(box, "hester@tidewater.example")


def test_a_test_letter_to_a_server_that_is_not_there_says_so(cast, sink):
    sink.close()
    box = Mailbox("127.0.0.1", sink.controller.port, "bench@tidewater.example")
    with pytest.raises(Undelivered, match="refused"):
        letters.send_test_letter(box, "hester@tidewater.example")
    sink.open()


def test_a_server_that_offers_no_starttls_gets_no_letter_in_the_open(cast, sink):
    box = Mailbox("127.0.0.1", sink.controller.port, "bench@tidewater.example", security="starttls")
    with pytest.raises(Undelivered, match="STARTTLS"):
        letters.send_test_letter(box, "hester@tidewater.example")
    assert sink.letters == []


def test_a_server_without_a_log_in_gets_no_password(cast, sink):
    box = Mailbox(
        "127.0.0.1", sink.controller.port, "bench@tidewater.example", user="bench", password="secret"
    )
    with pytest.raises(Undelivered) as refused:
        letters.send_test_letter(box, "hester@tidewater.example")
    assert not refused.value.permanent
    assert sink.letters == []


@pytest.mark.django_db
def test_without_an_account_the_mailbox_is_that_of_the_environment(settings):
    settings.EMAIL_HOST, settings.EMAIL_PORT, settings.EMAIL_USE_TLS = "mail.example.org", 587, True
    assert letters.mail_connection() == Mailbox(
        "mail.example.org", 587, settings.DEFAULT_FROM_EMAIL, security="starttls"
    )


@pytest.mark.django_db
def test_the_owners_account_wins_and_its_password_is_kept_sealed():
    keep_account(
        host="mail.example.org",
        port=465,
        user="bench",
        password="kettle",
        security="tls",
        from_address="b@example.org",
    )
    assert MailAccount.objects.get().sealed_password != "kettle"
    assert "kettle" not in str(MailAccount.objects.values())
    assert mailbox() == Mailbox("mail.example.org", 465, "b@example.org", "bench", "kettle", "tls")


@pytest.mark.django_db
def test_an_account_changed_without_its_password_keeps_it():
    keep_account(host="mail.example.org", password="kettle", from_address="b@example.org")
    keep_account(host="mx.example.org")
    assert (mailbox().host, mailbox().password) == ("mx.example.org", "kettle")
    assert MailAccount.objects.count() == 1


def test_a_password_sealed_with_another_key_is_not_read(settings):
    sealed, was = seal("kettle"), settings.SECRET_KEY
    settings.SECRET_KEY = "another-" * 10
    with pytest.raises(CannotUnseal):
        unseal(sealed)
    settings.SECRET_KEY_FALLBACKS = [was]
    assert unseal(sealed) == "kettle"


def test_a_password_that_cannot_be_read_makes_letters_wait_and_says_what_to_do(letter, settings):
    keep_account(host="127.0.0.1", password="kettle", from_address="b@example.org")
    settings.SECRET_KEY = "another-" * 10
    assert deliver.deliver(letter.pk) == "waiting"
    letter.refresh_from_db()
    assert "Type it again" in letter.last_error
    assert letter.next_attempt_at > timezone.now()
