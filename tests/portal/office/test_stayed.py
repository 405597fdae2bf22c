"""A letter that the letterbox kept, because there was no mailbox, is not said to be sent."""

from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from jobs.words import Stage
from notifications import relay
from notifications.mailbox import keep_account
from notifications.models import Letter
from portal import letterbox
from tests.cast import Cast
from tests.portal.conftest import Visitor

pytestmark = pytest.mark.django_db
STAYED = "Kept on this machine, reached nobody"


@pytest.fixture
def owner(cast: Cast, as_staff: Visitor) -> Client:
    return as_staff(cast.owner_user)


@pytest.fixture
def box(settings: Any, tmp_path: Path) -> Path:
    settings.LETTERBOX_DIR, settings.LETTERS_STAY_HERE = tmp_path / "letterbox", True
    return settings.LETTERBOX_DIR


@pytest.fixture
def letter(cast: Cast) -> Letter:
    job = cast.job_at(Stage.QUOTED)
    relay.run()
    Letter.objects.update(state="sent", sent_at=timezone.now())
    return Letter.objects.get(job=job, kind="quote_sent")


def keep(box: Path, letter: Letter) -> None:
    letterbox.keep(box, f"To: <x@example.org>\r\nMessage-ID: {letter.message_id}\r\n\r\nHello\r\n".encode())


def page(owner: Client, path: str) -> str:
    return owner.get(path).text


def test_what_the_letterbox_kept_is_said_to_have_reached_nobody(
    owner: Client, letter: Letter, box: Path
) -> None:
    keep(box, letter)
    said = page(owner, f"/office/letters/{letter.pk}/")
    assert f"<b>{STAYED}</b>" in said
    assert "<b>Sent</b>" not in said
    assert "Give the workshop a mailbox" in said


def test_it_stays_true_once_there_is_a_mailbox(owner: Client, letter: Letter, box: Path) -> None:
    keep(box, letter)
    keep_account(host="mail.example.org", port=465, security="tls", from_address="bench@example.org")
    said = page(owner, f"/office/letters/{letter.pk}/")
    assert STAYED in said
    assert "There was no mailbox then. Send it once more" in said


def test_what_left_is_sent(owner: Client, letter: Letter, box: Path) -> None:
    keep(box, Letter.objects.exclude(pk=letter.pk).first())
    said = page(owner, f"/office/letters/{letter.pk}/")
    assert "<b>Sent</b>" in said
    assert STAYED not in said


def test_what_left_by_a_later_try_is_sent(owner: Client, letter: Letter, box: Path) -> None:
    keep(box, letter)
    Letter.objects.filter(pk=letter.pk).update(sent_at=timezone.now() + timedelta(hours=1))
    assert "<b>Sent</b>" in page(owner, f"/office/letters/{letter.pk}/")


def test_what_went_inside_it_stayed_too(owner: Client, letter: Letter, box: Path) -> None:
    keep(box, letter)
    inside = Letter.objects.exclude(pk=letter.pk).first()
    Letter.objects.filter(pk=inside.pk).update(state="carried", sent_at=None, carried_by=letter)
    assert STAYED in page(owner, f"/office/letters/{inside.pk}/")


def test_the_lists_say_it_of_just_that_letter(owner: Client, letter: Letter, box: Path) -> None:
    keep(box, letter)
    for path in ("/office/letters/", f"/office/{letter.job.shown_ref}/"):
        assert page(owner, path).count("letter reached nobody") == 1


def test_the_demos_letters_are_meant_to_stay(owner: Client, letter: Letter, box: Path, settings: Any) -> None:
    keep(box, letter)
    settings.DEMO = True
    assert STAYED not in page(owner, f"/office/letters/{letter.pk}/")
