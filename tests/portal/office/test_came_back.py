"""A letter that came back, in the office: seen, the address corrected, sent again."""

import pytest
from django.test import Client

from jobs.models import Job
from jobs.words import Stage, Way
from notifications import relay, render, returned, ways
from notifications.lost import BOUNCED
from notifications.models import Letter
from tests.cast import Cast


@pytest.fixture
def owner(cast: Cast) -> Client:
    client = Client()
    client.force_login(cast.owner_user)
    return client


@pytest.fixture
def job(cast: Cast) -> Job:
    """Its quote came back."""
    job = cast.job_at(Stage.QUOTED)
    relay.run()
    Letter.objects.filter(job=job).update(state=Letter.State.SENT)
    returned.came_back(Letter.objects.get(kind="quote_sent"), BOUNCED, "550 5.1.1 no such user")
    return job


def page(owner: Client, job: Job) -> str:
    return str(owner.get(f"/office/{job.shown_ref}/").content.decode())


def test_the_job_says_that_its_address_is_dead_and_what_was_said(owner: Client, job: Job) -> None:
    shown = page(owner, job)
    assert "Letters to this address came back" in shown
    assert "A letter did not arrive." in shown
    assert "no such user" in shown


def test_a_corrected_address_offers_to_send_again_what_came_back(owner: Client, job: Job) -> None:
    owner.post(f"/office/{job.shown_ref}/address/", {"email": "orla@example.net"})
    shown = page(owner, job)
    assert "Letters to this address came back" not in shown
    assert "Send the letter that came back once more" in shown
    owner.post(f"/office/{job.shown_ref}/again/")
    letter = Letter.objects.get(kind="quote_sent")
    assert (letter.state, letter.to_address) == (Letter.State.WAITING, "orla@example.net")


def test_the_same_address_typed_again_is_believed(owner: Client, job: Job) -> None:
    owner.post(f"/office/{job.shown_ref}/address/", {"email": "orla@example.org"})
    assert not ways.is_dead(Way.EMAIL, "orla@example.org")
    assert "Send the letter that came back once more" in page(owner, job)


def test_what_is_out_of_date_is_not_sent_again(owner: Client, job: Job, cast: Cast) -> None:
    cast.agree(job.quotes.open().get())
    returned.revive("orla@example.org")
    assert "once more" not in page(owner, job)
    owner.post(f"/office/{job.shown_ref}/again/")
    assert Letter.objects.get(kind="quote_sent").state == Letter.State.RETURNED


def test_a_letter_that_cannot_be_written_says_so_when_it_is_to_go_again(
    owner: Client, job: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("no words")

    Letter.objects.filter(kind="quote_sent").update(text="", html="")
    monkeypatch.setattr(render, "written", broken)
    answer = owner.post(f"/office/{job.shown_ref}/again/", follow=True)
    assert answer.status_code == 200
    assert "This letter cannot be written: RuntimeError: no words" in answer.content.decode()
    assert "goes out again" not in answer.content.decode()


def test_a_letter_that_came_back_stands_among_those_that_did_not_get_through(owner: Client, job: Job) -> None:
    assert "our quote" in owner.get("/office/letters/?show=trouble").content.decode()
