"""A message on its way to its job, read by the real child process."""

import threading
from datetime import UTC, datetime, timedelta
from email.message import EmailMessage
from email.policy import SMTP

import pytest
from django.db import connection

from jobs.actions import enquiring
from jobs.actor import HOUSE
from jobs.models import Kind, Photo, Question
from notifications import relay
from notifications.models import Incoming, Letter
from notifications.replies import by_hand, keeping, taking
from tests.jobs.darkroom.pictures import grain as jpeg
from tests.notifications.replies.mails import BOX, QUOTED, reply, to, with_files

State = Incoming.State


@pytest.fixture
def job(cast):
    return cast.book()


def take(raw: bytes, via: str = "imap") -> Incoming:
    incoming = keeping.keep(raw, via)
    taking.take(incoming.pk)
    incoming.refresh_from_db()
    return incoming


def test_a_reply_asks_a_question_on_its_job(job):
    came = take(reply(job))
    assert came.state == State.TAKEN
    assert came.job == job
    assert came.question.text == "Will it last?"
    entry = job.entries.get(kind=Kind.ASKED)
    assert (entry.by_kind, entry.by_name) == ("customer", "Orla Fennimore")


def test_the_workshop_hears_of_it_as_of_every_question(job):
    take(reply(job))
    relay.run()
    assert "Will it last?" in Letter.objects.get(kind="staff_asked").text


def test_nobody_is_written_to_because_of_a_reply(job):
    relay.run()
    before = Letter.objects.to_customers().count()
    take(reply(job))
    take(reply(job, Auto_Submitted="auto-replied", Message_ID="<other@example.org>"))
    relay.run()
    assert Letter.objects.to_customers().count() == before


def test_the_same_message_twice_asks_once(job):
    first, again = take(reply(job)), take(reply(job))
    assert first == again
    assert Question.objects.count() == 1


def test_the_same_message_by_two_roads_asks_once(job):
    by_mailbox = b"Received: from a by b; Tue, 3 Nov 2026 10:21:00 +0000\r\n" + reply(job)
    assert take(reply(job), "provider") == take(by_mailbox)
    assert Question.objects.count() == 1


def test_two_messages_that_share_an_identifier_are_two(job):
    take(reply(job))
    take(reply(job, "And the cover?", Date="Wed, 04 Nov 2026 09:00:00 +0000"))
    assert Question.objects.count() == 2


def test_of_very_many_messages_in_an_hour_the_rest_is_set_aside_for_the_office(job, time_machine):
    at = datetime(2026, 11, 3, 10, 0, tzinfo=UTC)
    time_machine.move_to(at)
    for n in range(taking.MOST_AN_HOUR):
        Incoming.objects.create(fingerprint=str(n), via="imap", state=State.TAKEN, job=job)
    came = take(reply(job))
    assert (came.state, came.job, came.why) == (State.ASIDE, job, "It is one of very many in an hour.")
    assert not Question.objects.exists()
    by_hand.take_by_hand(came, job, HOUSE)
    time_machine.move_to(at + timedelta(minutes=61))
    assert take(reply(job, "And the cover?", Message_ID="<2@example.org>")).state == State.TAKEN


def test_many_messages_about_other_jobs_are_no_flood(cast, job):
    other = cast.another_book()
    for n in range(taking.MOST_AN_HOUR):
        Incoming.objects.create(fingerprint=str(n), via="imap", state=State.TAKEN, job=other)
    assert take(reply(job)).state == State.TAKEN


def test_a_message_without_an_identifier_is_known_by_its_bytes(job):
    take(reply(job, Message_ID=None))
    take(reply(job, Message_ID=None))
    assert Question.objects.count() == 1


def test_with_one_question_of_ours_open_a_reply_answers_it(cast, job):
    asked = enquiring.enquire(job, "Shall the dent stay?", cast.technician, "ask")
    came = take(reply(job, "Yes."))
    asked.refresh_from_db()
    assert (asked.answer, came.enquiry, came.question) == ("Yes.", asked, None)
    assert not Question.objects.exists()


def test_with_two_of_them_open_it_is_a_question_because_nobody_can_tell(cast, job):
    for n in (1, 2):
        enquiring.enquire(job, f"Shall dent {n} stay?", cast.technician, f"ask-{n}")
    assert take(reply(job, "Yes.")).question.text == "Yes."


def test_a_reply_never_agrees_to_a_quote(cast):
    job = cast.job_at("quoted")
    take(reply(job, "Yes, I agree to everything. Orla Fennimore"))
    job.refresh_from_db()
    assert job.stage == "quoted"
    assert not job.entries.filter(kind=Kind.DECIDED).exists()


def test_anybody_who_has_the_address_may_ask_and_it_stays_seen_who_wrote(job):
    came = take(reply(job, From="Her brother <brother@example.net>"))
    assert came.state == State.TAKEN
    assert came.from_address == "brother@example.net"


@pytest.mark.parametrize("sender", ["Bench@tidewater.example", "jory@tidewater.example"])
def test_what_we_write_ourselves_is_not_taken_for_the_customers(job, sender):
    came = take(reply(job, From=sender))
    assert (came.state, came.why) == (State.ASIDE, "It comes from one of your own addresses.")


def test_an_address_that_we_did_not_sign_is_set_aside_with_its_words(job):
    came = take(reply(job, To=to(job).replace(job.ref.lower(), "0000000")))
    assert came.state == State.ASIDE
    assert "did not sign" in came.why
    assert "Will it last?" in came.text
    assert not Question.objects.exists()


def test_the_address_is_found_where_the_server_notes_it(job):
    assert take(reply(job, To="somebody@example.net", Delivered_To=to(job))).job == job


# --- by the letter that it answers -----------------------------------------------------------------------------------


@pytest.fixture
def letter(job):
    relay.run()
    return Letter.objects.get(kind="booked")


def test_an_answer_to_a_letter_of_ours_from_its_customer_finds_the_job(letter, job):
    came = take(reply(job, To=BOX, In_Reply_To=letter.message_id))
    assert (came.state, came.job) == (State.TAKEN, job)


def test_references_lead_to_it_too(letter, job):
    assert take(reply(job, To=BOX, References=f"<x@example.net> {letter.message_id}")).job == job


def test_the_same_from_another_sender_is_set_aside(letter, job):
    came = take(reply(job, To=BOX, In_Reply_To=letter.message_id, From="brother@example.net"))
    assert came.state == State.ASIDE
    assert "another address" in came.why


def test_a_customer_who_only_writes_to_us_is_set_aside_and_not_guessed(job):
    came = take(reply(job, To=BOX))
    assert came.state == State.ASIDE
    assert came.job is None


# --- what comes along ------------------------------------------------------------------------------------------------


def test_photographs_go_to_the_job_and_other_files_are_named(job):
    files = [("dent.jpg", jpeg(), "image/jpeg"), ("bill.pdf", b"%PDF-1.7 ...", "application/pdf")]
    came = take(with_files(reply(job), *files))
    photo = job.photos.get()
    assert (photo.purpose, photo.by_kind, photo.file_name) == (Photo.Purpose.STORY, "customer", "dent.jpg")
    assert came.photos == 1
    assert came.left_out == [{"name": "bill.pdf", "kind": "application/pdf", "size": 12}]


def test_a_file_is_what_its_bytes_say_and_not_its_name(job):
    came = take(with_files(reply(job), ("photo-of-it.jpg", b"MZ\x90\0" * 4000, "image/jpeg")))
    assert not job.photos.exists()
    assert came.left_out[0]["name"] == "photo-of-it.jpg"


def test_photographs_without_words_are_a_message_too(job):
    raw = with_files(reply(job, text=""), ("dent.jpg", jpeg(), "image/jpeg"))
    assert take(raw).question.text == "(Photographs, without words.)"


def test_our_own_picture_that_comes_back_in_the_quoted_letter_is_no_photograph_of_theirs(job):
    mail = EmailMessage(policy=SMTP)
    for name, value in (("From", job.customer.email), ("To", to(job)), ("Message-ID", "<a@example.org>")):
        mail[name] = value
    mail.set_content(f"Lovely, thank you.{QUOTED}")
    mail.add_alternative("<p>Lovely</p><img src='cid:x'>", subtype="html")
    mail.get_payload()[1].add_related(
        jpeg(), "image", "jpeg", cid="<x>", disposition="inline", filename="photo.jpg"
    )
    came = take(bytes(mail))
    assert came.state == State.TAKEN
    assert not job.photos.exists()
    assert came.left_out == []


def test_more_photographs_than_a_form_takes_are_named(job):
    files = [(f"{n}.jpg", jpeg(), "image/jpeg") for n in range(8)]
    came = take(with_files(reply(job), *files))
    assert job.photos.count() == came.photos == 6
    assert [one["name"] for one in came.left_out] == ["6.jpg", "7.jpg"]


def test_names_of_files_cannot_bring_line_ends_or_paths_along(job):
    raw = with_files(reply(job), ("x.pdf", b"%PDF", "application/pdf"))
    raw = raw.replace(b'"x.pdf"', b'"=?utf-8?q?=2E=2E/=0D=0ABcc:_x?="')
    assert take(raw).left_out[0]["name"] == "../ Bcc: x"


# --- what cannot be taken --------------------------------------------------------------------------------------------


def test_a_reply_of_nothing_but_quotes_is_set_aside_beside_its_job_with_the_whole(job):
    came = take(reply(job, text=""))
    assert (came.state, came.job) == (State.ASIDE, job)
    assert "It is at the bench." in came.text


def test_a_long_letter_is_cut_on_the_page_and_kept_whole(job):
    came = take(reply(job, "A sentence of it. " * 400))
    assert len(came.question.text) <= 2000
    assert came.question.text.endswith("(The letter goes on. We have all of it.)")
    assert len(came.text) > 7000


def test_a_subject_cannot_bring_a_header_of_its_own(job):
    raw = reply(job, Subject=None).replace(
        b"\r\nDate:", b"\r\nSubject: =?utf-8?q?Hello=0D=0ABcc:_x=40example.org?=\r\nDate:", 1
    )
    assert take(raw).subject == "Hello Bcc: x@example.org"


def test_a_message_that_kills_every_worker_is_given_up(job, monkeypatch):
    def killed(*_args):
        raise KeyboardInterrupt

    incoming = keeping.keep(reply(job), "imap")
    monkeypatch.setattr(taking, "take_apart", killed)
    for _ in range(taking.MOST_TRIES):
        with pytest.raises(KeyboardInterrupt):
            taking.take(incoming.pk)
    monkeypatch.undo()
    taking.take(incoming.pk)
    incoming.refresh_from_db()
    assert incoming.state == State.ASIDE
    assert "three times" in incoming.why


def test_a_crash_in_mid_taking_leaves_nothing_half_done_and_the_next_try_does_it(job, monkeypatch, media):
    from notifications.replies import enclosed

    incoming = keeping.keep(with_files(reply(job), ("dent.jpg", jpeg(), "image/jpeg")), "imap")

    def crash(*_args):
        raise RuntimeError

    with monkeypatch.context() as broken:
        broken.setattr(enclosed, "note", crash)
        with pytest.raises(RuntimeError):
            taking.take(incoming.pk)
    assert not Question.objects.exists()
    assert not list((media / "incoming").iterdir())
    taking.take(incoming.pk)
    assert Question.objects.count() == job.photos.count() == 1


@pytest.mark.django_db(transaction=True)
def test_two_workers_that_take_it_in_the_same_moment_ask_once(cast):
    job = cast.book()
    incoming = keeping.keep(reply(job), "imap")

    def work():
        try:
            taking.take(incoming.pk)
        finally:
            connection.close()

    workers = [threading.Thread(target=work) for _ in range(3)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    incoming.refresh_from_db()
    assert incoming.state == State.TAKEN
    assert Question.objects.count() == 1
