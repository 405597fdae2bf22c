"""The storm in its short form, on both databases; `make chaos` is the long one. And its judge: it has to see what is wrong."""

import random
from collections import Counter

import pytest

from jobs import waking
from notifications import relay
from notifications.models import Letter
from tests.cast import make_cast
from tests.chaos import storm
from tests.chaos.verdict import judge


@pytest.mark.worker
@pytest.mark.slow
@pytest.mark.django_db(transaction=True)
def test_in_a_storm_every_letter_arrives_and_repeats_only_where_nobody_could_tell(tmp_path, monkeypatch):
    monkeypatch.setattr(waking, "_quiet_until", 0.0)  # an earlier test's silence towards a dead broker
    plan = storm.Plan(letters=60, between_blows=(5, 15), sweeps=1.0, calm_after=20)
    seed = random.randrange(10_000)
    print(f"seed {seed}")
    verdict, raged = storm.run(plan, tmp_path, seed, say=print)
    assert verdict.wrongs == []
    assert verdict.delivered == 60
    assert sum(raged.house.suffered.values()) >= 3


@pytest.fixture
def sent(cast, tmp_path):
    """Two letters that are noted as sent, and the files that the mail server would have."""
    cast.book(name="Guest 1", email="guest1@example.org")
    cast.book(name="Guest 2", email="guest2@example.org")
    relay.run()
    Letter.objects.update(state="sent")
    for letter in Letter.objects.all():
        keep(tmp_path, letter)
    return list(Letter.objects.all())


@pytest.fixture
def cast(db):
    return make_cast()


def keep(folder, letter: Letter, copy: int = 1, identity: str = "") -> None:
    mail = f"Message-ID: {identity or letter.message_id}\r\nTo: {letter.person.name} <{letter.to_address}>\r\n\r\n"
    (folder / f"{letter.pk}-{copy}.eml").write_text(mail, newline="")


def wrongs(folder, doubts: dict[int, int] | None = None) -> str:
    return "; ".join(judge(folder, Counter(doubts or {})).wrongs)


def test_the_judge_has_nothing_to_say_where_all_is_well(sent, tmp_path):
    assert wrongs(tmp_path) == ""


def test_the_judge_sees_a_letter_that_is_noted_as_sent_and_never_arrived(sent, tmp_path):
    (tmp_path / f"{sent[0].pk}-1.eml").unlink()
    assert "never arrived" in wrongs(tmp_path)


def test_the_judge_sees_a_copy_that_no_doubt_explains(sent, tmp_path):
    keep(tmp_path, sent[0], copy=2)
    assert "arrived 2 times, with 0 doubts" in wrongs(tmp_path)
    assert wrongs(tmp_path, {sent[0].pk: 1}) == ""


def test_the_judge_sees_a_second_identity(sent, tmp_path):
    keep(tmp_path, sent[0], copy=2, identity="<other@localhost>")
    found = wrongs(tmp_path)
    assert "guest1@example.org was sent 2 letters" in found
    assert "no letter is called that" in found


def test_the_judge_sees_an_entry_that_nobody_read_and_a_letter_that_still_waits(cast, sent, tmp_path):
    cast.another_book()
    Letter.objects.filter(pk=sent[0].pk).update(state="waiting")
    assert "never read" in wrongs(tmp_path)
    assert "still waiting" in wrongs(tmp_path)
