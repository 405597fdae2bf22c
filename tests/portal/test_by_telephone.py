"""An answer by telephone is nobody's signature, and is called what it is wherever it is told: pages, letters, paper, check, export."""

import re
import zipfile
from collections.abc import Callable
from html import unescape
from io import BytesIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils.html import strip_tags

from jobs.actions.deciding import Answer, Decided, decide
from jobs.actions.papering import answer_paper
from jobs.exporting import export
from jobs.models import Decision, Job
from jobs.words import Stage
from notifications import relay
from notifications.models import Letter
from tests.cast import Cast
from tests.jobs.papers.reading import text
from tests.once import made_once
from tests.outside.evidence_scene import answered_with_everything
from tests.portal.conftest import Visitor

SIGNED = re.compile(r"what was signed|signature|answered on the page|under the name", re.IGNORECASE)


@pytest.fixture
def job(cast: Cast) -> Job:
    return made_once(answered_with_everything, cast, Decision.Way.TELEPHONE)


def words(html: str) -> str:
    return re.sub(r"\s+", " ", unescape(strip_tags(html)))


def on(page: str) -> Callable[[Job, Client], str]:
    return lambda job, client: words(client.get(reverse(page, args=[job.shown_ref])).content.decode())


def in_letter(job: Job, client: Client) -> str:
    relay.run()
    return words(Letter.objects.get(job=job, kind="decided").html)


def in_letters_text(job: Job, client: Client) -> str:
    relay.run()
    return words(Letter.objects.get(job=job, kind="decided").text)


def on_paper(job: Job, client: Client) -> str:
    return text(bytes(answer_paper(job.quotes.get().decision).body))


def at_the_check(job: Job, client: Client) -> str:
    body = bytes(answer_paper(job.quotes.get().decision).body)
    return words(client.post("/check/", {"document": SimpleUploadedFile("a.pdf", body)}).content.decode())


def in_the_export(job: Job, client: Client) -> str:
    held = BytesIO()
    export(job, held)
    with zipfile.ZipFile(held) as packed:
        return packed.read("answers/quote-1.record.json").decode()


PLACES = {
    "the customer's page": on("my"),
    "the customer's page of the quote": on("my_quote"),
    "the job's page at the bench": on("bench_job"),
    "the job's page in the office": on("office_job"),
    "the letter": in_letter,
    "the letter's plain text": in_letters_text,
    "the PDF": on_paper,
    "the page that checks documents": at_the_check,
    "the export": in_the_export,
}


@pytest.mark.parametrize("place", PLACES)
def test_it_is_called_by_telephone(job: Job, cast: Cast, as_staff: Visitor, place: str) -> None:
    told = PLACES[place](job, as_staff(cast.owner_user))
    assert "telephone" in told.replace("Note a telephone call", "").lower()
    assert not SIGNED.search(told), SIGNED.search(told)


NAMELESS = {"the customer's page", "the page that checks documents"}


@pytest.mark.parametrize("place", [place for place in PLACES if place not in NAMELESS])
def test_who_noted_it_stands_beside_it(job: Job, cast: Cast, as_staff: Visitor, place: str) -> None:
    assert "Jory Pell" in PLACES[place](job, as_staff(cast.owner_user))


@pytest.mark.parametrize("name", ["my", "my_quote", "bench_job", "office_job"])
def test_a_no_by_telephone_is_called_that_too(cast: Cast, as_staff: Visitor, name: str) -> None:
    sent = cast.job_at(Stage.QUOTED).quotes.get()
    answer = Answer(
        sent.shown_hash, [], "Orla Fennimore", "She said no.", Decision.Way.TELEPHONE, "Jory Pell"
    )
    assert isinstance(decide(sent, answer, cast.technician), Decided)
    told = on(name)(sent.job, as_staff(cast.owner_user))
    assert "telephone" in told.replace("Note a telephone call", "").lower()
    assert not SIGNED.search(told)


def test_the_bench_journal_says_so_at_the_very_entry(job: Job, cast: Cast, as_staff: Visitor) -> None:
    page = on("bench_job")(job, as_staff(cast.owner_user))
    assert "Quote answered by telephone" in page


def test_an_answer_on_the_page_is_not_called_so(cast: Cast, as_staff: Visitor) -> None:
    job = made_once(answered_with_everything, cast)
    for name in ("the letter", "the PDF", "the page that checks documents", "the export"):
        assert "telephone" not in PLACES[name](job, as_staff(cast.owner_user)).lower(), name
