"""Figures typed on many devices and in many windows at once, on a real database."""

from collections.abc import Callable
from typing import Any

import pytest

from jobs import journal
from jobs.actions import coding, judging
from jobs.actor import Actor
from jobs.models import Code, Job, Kind, Quote
from jobs.words import Stage
from tests.cast import Cast
from tests.jobs.actions.claims import examined, first_cover
from tests.jobs.actions.test_races import at_once

pytestmark = pytest.mark.django_db(transaction=True)
DEVICE = "6a2b8c1e-0000-4000-8000-000000000001"


@pytest.fixture
def sent(cast: Cast) -> Quote:
    return cast.job_at(Stage.QUOTED).quotes.get()


def typing(sent: Quote, figures: str) -> Callable[[], Any]:
    by = Actor.customer(sent.job.customer)
    return lambda: coding.type_code(Quote.objects.select_related("job").get(pk=sent.pk), DEVICE, figures, by)


def drawn(sent: Quote) -> str:
    code = coding.ask_for_code(sent, DEVICE, Actor.customer(sent.job.customer))
    return coding.draw_code(code.pk)


def others(figures: str, n: int) -> list[str]:
    return [f"{(int(figures) + step) % 1_000_000:06d}" for step in range(1, n + 1)]


def test_of_many_wrong_figures_at_once_five_are_looked_at(sent: Quote) -> None:
    figures = drawn(sent)
    said = at_once(*[typing(sent, other) for other in others(figures, 8)])
    assert sorted(type(each).__name__ for each in said) == ["Spent"] * 4 + ["Wrong"] * 4
    assert Code.objects.get().tries == coding.MOST_TRIES
    assert isinstance(typing(sent, figures)(), coding.Spent)


def test_the_right_figures_are_taken_by_one_of_many(sent: Quote) -> None:
    figures = drawn(sent)
    said = at_once(*[typing(sent, figures)] * 6)
    assert sorted(type(each).__name__ for each in said) == ["NotSent"] * 5 + ["Right"]
    assert sent.job.entries.filter(kind=Kind.CODE_TYPED).count() == 1


def test_a_letter_that_leaves_while_somebody_guesses_gives_no_try_back(sent: Quote) -> None:
    """Handed over again it has new figures; whether before or after a guess, that guess counts."""
    figures = drawn(sent)
    code = Code.objects.get()
    at_once(*[typing(sent, other) for other in others(figures, 4)], lambda: coding.draw_code(code.pk))
    code.refresh_from_db()
    assert code.used_at or code.tries == 4


def test_a_claim_is_judged_by_one_of_two(cast: Cast) -> None:
    claim = examined(cast, cast.home())
    cover = first_cover(claim.claim_on)  # type: ignore[arg-type]

    def judge(judgement: str, because: str) -> Callable[[], Any]:
        return lambda: judging.judge_claim(
            Job.objects.get(pk=claim.pk), judgement, "same", cover, because, cast.technician
        )

    said = at_once(judge("covered", ""), judge("not_covered", "It fell."), judge("covered", ""))
    assert sorted(type(each).__name__ for each in said) == ["Judged", "Refused", "Refused"]
    assert claim.entries.filter(kind=Kind.CLAIM_JUDGED).count() == 1
    assert journal.verify(Job.objects.get(pk=claim.pk)) is None
