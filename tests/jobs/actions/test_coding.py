"""Six figures by letter: one quote, one device, once, within half an hour and five tries."""

from datetime import timedelta

import pytest
import time_machine
from django.utils import timezone

from jobs.actions import coding
from jobs.actions.coding import Expired, NotSent, Right, Spent, Wrong, ask_for_code, draw_code, type_code
from jobs.actions.linking import find_link, issue_link, note_opening
from jobs.actor import Actor
from jobs.models import Code, Job, Kind, Opening, Quote
from jobs.words import Stage
from tests.cast import Cast
from tests.once import made_once

PHONE, STRANGE = "phone-of-theirs", "another-device"


@pytest.fixture
def sent(cast: Cast) -> Quote:
    return made_once(cast.job_at, Stage.QUOTED).quotes.get()


@pytest.fixture
def orla(sent: Quote) -> Actor:
    return Actor.customer(sent.job.customer)


def asked(sent: Quote, by: Actor, device: str = STRANGE) -> tuple[Code, str]:
    """A code whose letter has just been handed over, and its figures."""
    code = ask_for_code(sent, device, by)
    return code, draw_code(code.pk)


def other_than(figures: str) -> str:
    return f"{(int(figures) + 1) % 1_000_000:06d}"


def opened(job: Job, device: str, made_for: str = "orla@example.org") -> Opening:
    link = find_link(issue_link(job, made_for=made_for))
    note_opening(link, device)
    return Opening.objects.get(link=link, device=device)


def test_the_right_figures_are_taken_once(sent, orla):
    _code, figures = asked(sent, orla)
    assert isinstance(type_code(sent, STRANGE, figures, orla), Right)
    assert type_code(sent, STRANGE, figures, orla) == NotSent()
    assert [entry.kind for entry in sent.job.entries.order_by("-seq")[:2]] == [
        Kind.CODE_TYPED,
        Kind.CODE_ASKED,
    ]


def test_nothing_that_is_kept_tells_the_figures(sent, orla):
    code, figures = asked(sent, orla)
    code.refresh_from_db()
    kept = [str(value) for value in vars(code).values()]
    kept += list(sent.job.entries.values_list("body", flat=True))
    assert not [text for text in kept if figures in text and "hash" not in text and len(text) < 40]
    assert figures not in "".join(sent.job.entries.values_list("body", flat=True))


def test_figures_are_six_and_keep_their_noughts(sent, orla, monkeypatch):
    monkeypatch.setattr(coding.secrets, "randbelow", lambda most: 42)
    assert asked(sent, orla)[1] == "000042"


def test_five_wrong_tries_end_it_even_for_the_right_figures(sent, orla):
    _code, figures = asked(sent, orla)
    wrong = other_than(figures)
    told = [type_code(sent, STRANGE, wrong, orla) for _ in range(5)]
    assert told == [Wrong(4), Wrong(3), Wrong(2), Wrong(1), Spent()]
    assert type_code(sent, STRANGE, figures, orla) == Spent()


def test_a_letter_that_is_handed_over_again_has_new_figures_and_gives_no_new_tries(sent, orla):
    code, figures = asked(sent, orla)
    type_code(sent, STRANGE, other_than(figures), orla)
    again = draw_code(code.pk)
    assert type_code(sent, STRANGE, other_than(again), orla) == Wrong(3)
    assert isinstance(type_code(sent, STRANGE, again, orla), Right)


def test_half_an_hour_after_the_letter_left_it_is_over(sent, orla):
    _code, figures = asked(sent, orla)
    with time_machine.travel(timezone.now() + timedelta(minutes=30, seconds=1), tick=False):
        assert type_code(sent, STRANGE, figures, orla) == Expired()


def test_the_half_hour_begins_when_the_letter_leaves_not_when_it_was_asked_for(sent, orla):
    code = ask_for_code(sent, STRANGE, orla)
    with time_machine.travel(timezone.now() + timedelta(hours=2), tick=False):
        figures = draw_code(code.pk)
        assert isinstance(type_code(sent, STRANGE, figures, orla), Right)


def test_before_its_letter_has_left_there_is_nothing_to_type(sent, orla):
    ask_for_code(sent, STRANGE, orla)
    assert type_code(sent, STRANGE, "000000", orla) == NotSent()
    assert type_code(sent, STRANGE, "", orla) == NotSent()


def test_a_newer_code_takes_the_place_of_the_older(sent, orla):
    _old, first = asked(sent, orla)
    _new, second = asked(sent, orla)
    assert first == second or type_code(sent, STRANGE, first, orla) == Wrong(4)
    assert isinstance(type_code(sent, STRANGE, second, orla), Right)


def test_a_code_is_for_one_device(sent, orla):
    _code, figures = asked(sent, orla)
    assert type_code(sent, "a-third-device", figures, orla) == NotSent()


def test_a_code_is_for_one_quote(cast, sent, orla):
    _code, figures = asked(sent, orla)
    other = cast.job_at(Stage.QUOTED, cast.another_book()).quotes.get()
    assert type_code(other, STRANGE, figures, orla) == NotSent()


def test_a_used_code_is_not_drawn_again(sent, orla):
    code, figures = asked(sent, orla)
    type_code(sent, STRANGE, figures, orla)
    assert draw_code(code.pk) == coding.NO_FIGURES


def test_the_device_is_theirs_afterwards(sent, orla):
    opened(sent.job, PHONE)
    link = opened(sent.job, STRANGE).link
    assert not coding.is_known(sent.job, STRANGE)
    _code, figures = asked(sent, orla)
    type_code(sent, STRANGE, figures, orla, link)
    assert coding.is_known(sent.job, STRANGE)


def test_wrong_figures_make_no_device_theirs(sent, orla):
    opened(sent.job, PHONE)
    link = opened(sent.job, STRANGE).link
    _code, figures = asked(sent, orla)
    type_code(sent, STRANGE, other_than(figures), orla, link)
    assert not coding.is_known(sent.job, STRANGE)


def test_the_first_device_that_ever_opened_anything_is_theirs(cast, sent):
    earlier = cast.book()  # the same person: everything about them is the same
    assert earlier.customer == sent.job.customer
    opened(earlier, PHONE)
    opened(sent.job, STRANGE)
    assert coding.is_known(sent.job, PHONE)
    assert not coding.is_known(sent.job, STRANGE)


def test_who_booked_on_one_device_and_reads_letters_on_another_is_known_on_both(sent):
    opened(sent.job, "desk", made_for="")
    opened(sent.job, PHONE)
    opened(sent.job, STRANGE)
    assert [coding.is_known(sent.job, each) for each in ("desk", PHONE, STRANGE)] == [True, True, False]


def test_while_nothing_was_opened_whoever_is_here_is_the_first(sent):
    assert coding.is_known(sent.job, "")


def test_the_browser_that_booked_a_job_is_known_for_that_job_alone(cast, sent):
    opened(sent.job, PHONE)
    second = cast.book()
    opened(second, STRANGE, made_for="")
    assert coding.is_known(second, STRANGE)
    assert not coding.is_known(sent.job, STRANGE)


def test_opening_a_claim_makes_no_strange_device_known(cast):
    home = cast.home()
    opened(home, PHONE)
    opened(home, STRANGE)
    claim = cast.book(story="It stopped again.")
    Job.objects.filter(pk=claim.pk).update(claim_on=home)
    claim.refresh_from_db()
    opened(claim, STRANGE, made_for="")
    assert not coding.is_known(claim, STRANGE)
    assert coding.is_known(claim, PHONE)


def test_what_somebody_else_opened_makes_nobody_known(cast, sent):
    opened(sent.job, PHONE)
    other = cast.job_at(Stage.QUOTED, cast.another_book())
    opened(other, STRANGE)
    assert not coding.is_known(sent.job, STRANGE)


@pytest.mark.parametrize(
    ("above", "highest", "needed"), [(None, 10**9, False), (20_000, 20_000, False), (20_000, 20_001, True)]
)
def test_above_the_workshops_sum_every_device_needs_one(cast, sent, above, highest, needed):
    cast.workshop.code_above = above
    cast.workshop.save()
    opened(sent.job, PHONE)
    assert coding.is_needed(sent.job, PHONE, highest) is needed


def test_a_workshop_may_ask_new_devices_for_none(cast, sent):
    opened(sent.job, PHONE)
    assert coding.is_needed(sent.job, STRANGE, 100)
    cast.workshop.code_for_new_devices = False
    cast.workshop.save()
    assert not coding.is_needed(sent.job, STRANGE, 100)
