"""The copy of an answer in the letters to both sides: the same bytes, made once; and letters that go without it when it cannot be made."""

import email
import logging
from email import policy
from email.message import EmailMessage
from hashlib import sha256

import pytest

from jobs import journal, verifying
from jobs.actions import deciding, papering
from jobs.actions.deciding import Answer, decide
from jobs.actor import Actor
from jobs.models import Decision, Job, Paper
from jobs.papers import CannotSet
from jobs.words import Stage
from notifications import copies, deliver, relay, writing
from notifications.models import Letter
from tests.cast import Cast
from tests.notifications.scenes import letter_of
from tests.once import made_once
from tests.services import Sink


@pytest.fixture
def job(cast: Cast) -> Job:
    return made_once(cast.job_at, Stage.AGREED)


def delivered(sink: Sink, job: Job, *kinds: str) -> list[EmailMessage]:
    """The letters of these kinds as a mail server received them."""
    for kind in kinds:
        assert deliver.deliver(letter_of(job, kind).pk) == "sent"
    return [email.message_from_bytes(mail, policy=policy.default) for mail in sink.letters]


def attached(mail: EmailMessage) -> list[bytes]:
    return [part.get_content() for part in mail.iter_attachments()]


def test_both_sides_get_the_same_copy_byte_for_byte(job: Job, mail_to_sink: Sink) -> None:
    relay.run()
    mails = delivered(mail_to_sink, job, "decided", "staff_decided")
    kept = Paper.objects.get(kind=Paper.Kind.ANSWER)
    assert [[sha256(body).hexdigest() for body in attached(mail)] for mail in mails] == [[kept.sha256]] * 2
    assert mail_to_sink.recipients == ["orla@example.org", "bench@tidewater.example"]


def test_the_copy_has_a_name_that_a_person_finds_again(job: Job, mail_to_sink: Sink) -> None:
    relay.run()
    (mail,) = delivered(mail_to_sink, job, "decided")
    (part,) = mail.iter_attachments()
    assert part.get_filename() == f"Tidewater Camera Works {job.shown_ref} quote 1.pdf"
    assert part.get_content_type() == "application/pdf"


@pytest.mark.parametrize("kind", ["decided", "staff_decided"])
def test_the_words_name_every_fingerprint(job: Job, kind: str) -> None:
    relay.run()
    letter = letter_of(job, kind)
    entry = job.entries.get(kind="decided")
    paper = Paper.objects.get(kind=Paper.Kind.ANSWER)
    for part in (letter.text, letter.html):
        for fingerprint in (paper.sha256, entry.data["hash"], entry.hash):
            assert fingerprint in part


def test_the_copy_stands_in_the_journal_and_writes_no_letter_of_its_own(job: Job) -> None:
    relay.run()
    relay.run()
    entry = job.entries.get(kind="paper")
    paper = Paper.objects.get()
    assert entry.data == {"kind": "answer", "sha256": paper.sha256, "decision": 1}
    assert not Letter.objects.filter(entry=entry).exists()
    assert verifying.verify(Job.objects.get(pk=job.pk)) is None


def test_a_copy_that_cannot_be_set_stops_no_letter(
    job: Job, mail_to_sink: Sink, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def fail(*_args: object) -> bytes:
        raise CannotSet("no room on the page")

    monkeypatch.setattr(papering, "pdf_of_answer", fail)
    with caplog.at_level(logging.ERROR):
        relay.run()
    theirs, ours = delivered(mail_to_sink, job, "decided", "staff_decided")
    assert attached(theirs) == attached(ours) == []
    assert "A copy to keep, as PDF, is on your page." in letter_of(job, "decided").text
    assert "A copy as PDF is on the job’s page" in letter_of(job, "staff_decided").text
    assert "could not be made" in caplog.text


def test_a_letter_that_went_without_stays_without_when_the_copy_is_made_later(
    job: Job, mail_to_sink: Sink, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is attached and what is printed in it never differ."""
    with monkeypatch.context() as broken:
        broken.setattr(copies, "prepare", lambda entry: None)
        relay.run()
    papering.answer_paper(Decision.objects.get())
    (mail,) = delivered(mail_to_sink, job, "decided")
    assert attached(mail) == []


def test_a_copy_too_large_for_a_letter_stays_on_the_page(job: Job, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(copies, "LARGEST", 1000)
    relay.run()
    assert Paper.objects.filter(kind=Paper.Kind.ANSWER).exists()
    assert "A copy to keep, as PDF, is on your page." in letter_of(job, "decided").text


def test_a_worker_that_dies_between_copy_and_letter_makes_no_second_copy(
    job: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    def die(*_args: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as dying:
        dying.setattr("notifications.writing.write", die)
        with pytest.raises(KeyboardInterrupt):
            while True:
                relay.run(limit=1)
    for entry in job.entries.filter(kind="decided"):
        copies.prepare(entry)
    relay.run()
    copies.prepare(job.entries.get(kind="decided"))
    paper = Paper.objects.get(kind=Paper.Kind.ANSWER)
    assert job.entries.filter(kind="paper").count() == 1
    assert paper.sha256 in letter_of(job, "decided").text


def test_an_answer_by_telephone_is_called_that_in_the_letter(cast: Cast) -> None:
    job = cast.job_at(Stage.QUOTED)
    sent = job.quotes.get()
    answer = Answer(
        sent.shown_hash,
        [sent.lines.all()[0].pk],
        "Orla Fennimore",
        "Orla Fennimore said yes by telephone.",
        way=Decision.Way.TELEPHONE,
        noted_by="Jory Pell",
    )
    assert isinstance(decide(sent, answer, cast.technician), deciding.Decided)
    relay.run()
    letter = letter_of(job, "decided")
    for part in (letter.text, letter.html):
        words = " ".join(part.split())
        assert "answered by telephone" in words
        assert "nobody signed it" in words
        assert "Jory Pell noted it" in words
        assert "under the name" not in words
    assert journal.verify(Job.objects.get(pk=job.pk)) is None


def test_the_letter_of_a_warranty_carries_its_card(cast: Cast) -> None:
    job = cast.home(cast.job_at("returned"))
    relay.run()
    letter = Letter.objects.get(job=job, kind="warranty")
    card = Paper.objects.get(job=job, kind="warranty")
    assert card.sha256 in letter.text
    copy = copies.carried_by(letter)
    assert copy
    assert (copy.paper, copy.name) == (card, f"Tidewater Camera Works {job.shown_ref} warranty.pdf")


def test_the_terms_stand_in_the_copy_or_else_in_the_letter(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    """They are long, and the copy has them word for word; a letter without a copy has to have them itself."""
    job = cast.job_at(Stage.QUOTED)
    sent = job.quotes.get()
    signed = "I agree.\nYou pay when it is done."
    answer = Answer(sent.shown_hash, [sent.lines.all()[0].pk], "Orla Fennimore", signed)
    assert isinstance(decide(sent, answer, Actor.customer(job.customer)), deciding.Decided)
    with_it, without = relay_twice(job, monkeypatch)
    assert "The sentence agreed to: “I agree.” The terms stand in the copy." in with_it
    assert "You pay when it is done." not in with_it
    assert "“I agree. You pay when it is done.”" in without
    assert "The terms stand in the copy." not in without


def relay_twice(job: Job, monkeypatch: pytest.MonkeyPatch) -> tuple[str, str]:
    """The letter's words with a copy, and as they would be without one."""
    relay.run()
    letter = letter_of(job, "decided")
    with_it = " ".join(letter.text.split())
    monkeypatch.setattr(copies, "LARGEST", 0)
    writing.compose(letter)
    return with_it, " ".join(letter.text.split())


def test_the_workshops_letter_adds_up_and_names_the_ceiling(cast: Cast) -> None:
    job = cast.job_at(Stage.QUOTED)
    sent = job.quotes.get()
    answer = Answer(sent.shown_hash, [sent.lines.all()[0].pk], "Orla Fennimore", "I agree.", ceiling=12000)
    assert isinstance(decide(sent, answer, Actor.customer(job.customer)), deciding.Decided)
    relay.run()
    assert "Their ceiling: £120." in letter_of(job, "staff_decided").text
