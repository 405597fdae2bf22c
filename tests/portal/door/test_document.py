"""Check this document: what a stranger learns about a file, and that nothing of it stays."""

import tempfile
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse
from django.test import Client
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st

from jobs.actions import deciding
from jobs.actions.deciding import Answer, decide
from jobs.actions.papering import answer_paper
from jobs.actions.recording import keep_paper
from jobs.answer_paper import pdf_of_offer
from jobs.models import Decision, Job, Paper
from jobs.words import Stage
from portal.door import document
from portal.hashing import HEAD_BYTES, OVERLAP, Hasher
from tests.cast import Cast
from tests.once import made_once
from tests.portal.customer.pages import words_of

PATH = "/check/"


@pytest.fixture
def paper(cast: Cast) -> Paper:
    return answer_paper(made_once(cast.job_at, Stage.AGREED).quotes.get().decision)


def check(client: Client, body: bytes, name: str = "copy.pdf") -> HttpResponse:
    return client.post(PATH, {"document": SimpleUploadedFile(name, body, "application/pdf")})


def test_our_own_copy_is_unaltered(nobody: Client, paper: Paper) -> None:
    page = words_of(check(nobody, bytes(paper.body)).text)
    day = timezone.localtime(paper.made_at)
    made = f"{day.day} {day:%B %Y}"
    assert "Unaltered." in page
    assert (
        f"We made this on {made} for job {paper.job.shown_ref}: quote 1, answered on the page on {made}."
        in page
    )
    assert paper.sha256 in page


def test_a_stranger_learns_no_name_and_no_sum(nobody: Client, paper: Paper) -> None:
    page = words_of(check(nobody, bytes(paper.body)).text)
    for secret in ("Orla", "Fennimore", "£", "97", "winding", "Skerry", "Quay"):
        assert secret not in page.replace(paper.sha256, "")


def test_an_answer_by_telephone_is_called_that(nobody: Client, cast: Cast) -> None:
    sent = cast.job_at(Stage.QUOTED).quotes.get()
    answer = Answer(sent.shown_hash, [], "Orla", "No.", Decision.Way.TELEPHONE, "Jory Pell")
    outcome = decide(sent, answer, cast.technician)
    assert isinstance(outcome, deciding.Decided)
    page = words_of(check(nobody, bytes(answer_paper(outcome.decision).body)).text)
    assert "quote 1, answered by telephone on" in page
    assert "noted by us" in page


def test_one_changed_byte_is_seen_and_what_it_claims_to_be_is_said(nobody: Client, paper: Paper) -> None:
    body = bytearray(bytes(paper.body))
    body[len(body) // 2] ^= 1
    page = words_of(check(nobody, bytes(body)).text)
    assert "This is not a copy that we made, or it was changed." in page
    assert "It claims to be quote 1, answered on the page on" in page
    assert f"for job {paper.job.shown_ref}, but its bytes differ from those of our copy." in page
    assert "Unaltered" not in page


def test_another_pdf_is_not_ours(nobody: Client, paper: Paper) -> None:
    page = words_of(check(nobody, b"%PDF-1.7\n" + b"a" * 64 + b"\n%%EOF").text)
    assert "This is not a copy that we made, or it was changed." in page
    assert "claims" not in page


def test_of_an_offer_we_say_that_we_cannot_say(nobody: Client, cast: Cast) -> None:
    """It is set anew each time, and a copy of it is kept nowhere."""
    job = cast.job_at(Stage.QUOTED)
    page = words_of(check(nobody, pdf_of_offer(job.quotes.get(), timezone.now())).text)
    assert "We cannot say." in page
    assert f"quote 1 of job {job.shown_ref}, as an offer" in page


def test_a_page_that_we_keep_is_no_document_that_went_out(nobody: Client, cast: Cast) -> None:
    decision = cast.job_at(Stage.AGREED).quotes.get().decision
    keep_paper(decision.quote.job, Paper.Kind.PAGE, b"%PDF-like page", decision)
    assert "Unaltered" not in words_of(check(nobody, b"%PDF-like page").text)


@pytest.mark.parametrize(
    ("body", "why"),
    [
        (b"", "This is not a PDF."),
        (b"PK\x03\x04 a zip", "This is not a PDF."),
        (b"%PDF-" + b"0" * document.MOST_BYTES, "This file is larger than 10 MB."),
    ],
)
def test_what_cannot_be_checked_is_said_beside_the_field(
    nobody: Client, db: None, body: bytes, why: str
) -> None:
    answer = check(nobody, body)
    assert answer.status_code == 422
    assert why in words_of(answer.text)


def test_nothing_chosen_is_said(nobody: Client, db: None) -> None:
    answer = nobody.post(PATH)
    assert answer.status_code == 422
    assert "Choose the PDF first." in words_of(answer.text)


def test_nothing_of_the_file_is_kept_anywhere(
    nobody: Client, db: None, monkeypatch: pytest.MonkeyPatch, settings: Any
) -> None:
    """A large upload usually lies in a temporary file for a while; this one does not."""

    def never(*_args: object, **_kwargs: object) -> None:
        raise AssertionError("a file was opened")

    monkeypatch.setattr(tempfile, "NamedTemporaryFile", never)
    monkeypatch.setattr("django.core.files.uploadedfile.tempfile.NamedTemporaryFile", never)
    check(nobody, b"%PDF-1.7" + b"secret " * 900_000)
    assert list(Path(settings.MEDIA_ROOT).rglob("*")) == []


def test_looking_into_a_file_changes_nothing_of_the_job(nobody: Client, paper: Paper) -> None:
    before = Job.objects.get(pk=paper.job_id).last_seq
    check(nobody, bytes(paper.body))
    assert Job.objects.get(pk=paper.job_id).last_seq == before


def test_somebody_who_asks_too_often_waits(nobody: Client, db: None, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(document, "CHECKS", 2)
    codes = [check(nobody, b"%PDF-1.7").status_code for _ in range(3)]
    assert codes == [200, 200, 429]


def test_another_site_cannot_send_the_form(paper: Paper) -> None:
    """The token is asked for although the upload is told first where to go."""
    assert check(Client(enforce_csrf_checks=True), bytes(paper.body)).status_code == 403


def test_the_page_itself_asks_for_a_file(nobody: Client, db: None) -> None:
    page = nobody.get(PATH).content.decode()
    assert 'enctype="multipart/form-data"' in page
    assert 'type="file"' in page


@given(before=st.binary(max_size=200), after=st.binary(max_size=200), cut=st.integers(0, 464))
def test_a_fingerprint_is_found_wherever_the_file_is_cut(before: bytes, after: bytes, cut: int) -> None:
    fingerprint = sha256(before).hexdigest()
    body = before + b"<" + fingerprint.encode() + b">" + after
    reader = Hasher(most=10_000)
    reader.new_file("document", "copy.pdf", "application/pdf", None)
    for piece in (body[:cut], body[cut:]):
        reader.receive_data_chunk(piece, 0)
    looked = reader.file_complete(len(body))
    assert fingerprint in looked.fingerprints
    assert (looked.sha256, looked.head) == (sha256(body).hexdigest(), body[:HEAD_BYTES])
    assert len(reader.tail) <= OVERLAP
