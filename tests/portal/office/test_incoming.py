"""What came in and fits no job, in the office."""

import pytest
from django.test import Client
from django.urls import reverse

from jobs.models import Job, Kind, Question
from notifications.models import Incoming
from notifications.replies import keeping, taking
from tests.cast import Cast
from tests.jobs.darkroom.pictures import grain
from tests.notifications.replies.mails import BOX, reply, with_files

LIST = "/office/incoming/"


@pytest.fixture
def job(cast: Cast) -> Job:
    return cast.book()


@pytest.fixture
def owner(cast: Cast) -> Client:
    client = Client()
    client.force_login(cast.owner_user)
    return client


def came(raw: bytes) -> Incoming:
    incoming = keeping.keep(raw, "imap")
    taking.take(incoming.pk)
    incoming.refresh_from_db()
    return incoming


@pytest.fixture
def aside(job: Job) -> Incoming:
    return came(reply(None, "Is my <b>camera</b> there?", To=BOX, Subject="Hello <there>"))


def take(owner: Client, incoming: Incoming, ref: str) -> object:
    return owner.post(reverse("office_incoming_take", args=[incoming.pk]), {"ref": ref})


def test_what_was_set_aside_stands_there_with_its_words_and_why(owner: Client, aside: Incoming) -> None:
    page = owner.get(LIST).content.decode()
    assert "Hello &lt;there&gt;" in page
    assert "Is my &lt;b&gt;camera&lt;/b&gt; there?" in page
    assert "It answers no letter of ours." in page
    assert "somebody@example.net" in page


def test_the_office_says_on_its_first_page_that_something_waits(owner: Client, aside: Incoming) -> None:
    assert "letter to us" in owner.get("/office/").content.decode()


def test_with_nothing_there_the_page_says_so(owner: Client) -> None:
    assert "Nothing waits." in owner.get(LIST).content.decode()


def test_it_is_put_to_a_job_by_its_reference_and_the_journal_says_by_whom(
    owner: Client, aside: Incoming, job: Job
) -> None:
    answer = take(owner, aside, f" {job.shown_ref.lower()} ")
    assert answer["Location"] == f"/bench/{job.shown_ref}/"
    assert job.questions.get().text == "Is my <b>camera</b> there?"
    entry = job.entries.get(kind=Kind.ASKED)
    assert (entry.by_kind, entry.by_name) == ("staff", "Hester Quill")
    aside.refresh_from_db()
    assert aside.state == Incoming.State.TAKEN


def test_its_photographs_go_along(owner: Client, job: Job) -> None:
    raw = with_files(reply(None, "It came loose.", To=BOX), ("dent.jpg", grain(), "image/jpeg"))
    take(owner, came(raw), job.ref)
    assert job.photos.count() == 1


@pytest.mark.parametrize("ref", ["", "0000000", "4TM7-QKR", "nonsense", "x" * 21])
def test_a_reference_that_is_none_comes_back_with_a_sentence_and_changes_nothing(
    owner: Client, aside: Incoming, ref: str
) -> None:
    answer = take(owner, aside, ref)
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "There is no job of that reference." in page or "Which job is it about?" in page or "20" in page
    assert f'value="{ref}"' in page or not ref
    assert not Question.objects.exists()


def test_two_presses_put_it_there_once(owner: Client, aside: Incoming, job: Job) -> None:
    take(owner, aside, job.ref)
    assert take(owner, aside, job.ref).status_code == 422
    assert Question.objects.count() == 1


def test_a_letter_of_nothing_but_quotes_is_put_there_whole(owner: Client, job: Job) -> None:
    take(owner, came(reply(job, text="")), job.ref)
    assert "It is at the bench." in job.questions.get().text


def test_a_letter_that_cannot_be_read_is_refused_in_words(owner: Client, aside: Incoming, job: Job) -> None:
    Incoming.objects.update(file="letters-in/gone.eml")
    answer = take(owner, aside, job.ref)
    assert answer.status_code == 422
    assert "cannot be read here" in answer.content.decode()


def test_it_is_laid_aside_as_seen_and_can_still_be_taken(owner: Client, aside: Incoming, job: Job) -> None:
    owner.post(reverse("office_incoming_seen", args=[aside.pk]))
    assert "Nothing waits." in owner.get(LIST).content.decode()
    assert "Hello" in owner.get(LIST + "?show=seen").content.decode()
    take(owner, aside, job.ref)
    assert job.questions.exists()


def test_automatic_answers_stand_apart_beside_their_job(owner: Client, job: Job) -> None:
    came(reply(job, "I am away until Monday.", Auto_Submitted="auto-replied"))
    assert "Nothing waits." in owner.get(LIST).content.decode()
    page = owner.get(LIST + "?show=robots").content.decode()
    assert "I am away until Monday." in page
    assert job.shown_ref in page


def test_what_went_to_its_job_can_be_looked_at(owner: Client, job: Job) -> None:
    came(with_files(reply(job), ("bill.pdf", b"%PDF", "application/pdf")))
    page = owner.get(LIST + "?show=taken").content.decode()
    assert "Will it last?" in page
    assert "bill.pdf" in page


def test_the_whole_message_can_be_taken_away_and_is_never_shown(owner: Client, aside: Incoming) -> None:
    answer = owner.get(reverse("office_incoming_file", args=[aside.pk]))
    assert answer["Content-Type"] == "message/rfc822"
    assert answer["Content-Disposition"] == f'attachment; filename="message-{aside.pk}.eml"'
    assert "sandbox" in answer["Content-Security-Policy"]
    assert answer.content == reply(None, "Is my <b>camera</b> there?", To=BOX, Subject="Hello <there>")


def test_an_unknown_kind_is_not_there(owner: Client) -> None:
    assert owner.get(LIST + "?show=nothing").status_code == 404


@pytest.mark.parametrize("n", [1, 3])
def test_the_list_takes_the_same_queries_however_long(
    owner: Client, job: Job, n: int, django_assert_max_num_queries: object
) -> None:
    for k in range(n):
        Incoming.objects.create(fingerprint=str(k), state="aside", via="imap", text="t", job=job)
    with django_assert_max_num_queries(6):  # type: ignore[operator]
        owner.get(LIST)


def test_more_than_thirty_go_on_another_page(owner: Client, cast: Cast) -> None:
    for k in range(31):
        Incoming.objects.create(fingerprint=str(k), state="aside", via="imap", subject=f"Number {k}.")
    first = owner.get(LIST).content.decode()
    assert "Number 30." in first
    assert "Number 0." not in first
    last = Incoming.objects.order_by("pk")[1].pk
    assert "Number 0." in owner.get(f"{LIST}?before={last}").content.decode()


def test_the_bench_shows_that_a_question_came_by_letter(owner: Client, job: Job) -> None:
    came(with_files(reply(job, From="brother@example.net"), ("bill.pdf", b"%PDF", "application/pdf")))
    page = owner.get(f"/bench/{job.shown_ref}/").content.decode()
    assert "It came by letter" in page
    assert "brother@example.net" in page
    assert "bill.pdf" in page
