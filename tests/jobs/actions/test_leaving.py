import pytest

from jobs import stages
from jobs.actions import arriving, leaving
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.models import Quote
from jobs.words import ReturnBy, Stage
from tests.cast import Cast


@pytest.mark.parametrize("stage", sorted(stages.MAY_WITHDRAW))
def test_it_can_go_back_at_any_point_before_the_work(cast: Cast, stage: Stage) -> None:
    job = cast.job_at(stage)
    leaving.withdraw(job, cast.technician)
    assert job.stage == Stage.WITHDRAWN


@pytest.mark.parametrize("stage", [Stage.IN_WORK, Stage.PROVING, Stage.READY, Stage.RETURNED])
def test_and_not_after_it_has_begun(cast: Cast, stage: Stage) -> None:
    with pytest.raises(Refused):
        leaving.withdraw(cast.job_at(stage), cast.technician)


def test_what_is_in_the_post_has_to_arrive_first(cast: Cast) -> None:
    job = cast.book()
    arriving.say_posted(job, Actor.customer(job.customer))
    with pytest.raises(Refused):
        leaving.withdraw(job, cast.technician)


def test_an_open_quote_can_no_longer_be_answered(cast: Cast) -> None:
    job = cast.job_at(Stage.QUOTED)
    leaving.withdraw(job, cast.technician)
    assert job.quotes.get().state == Quote.State.REPLACED


@pytest.mark.parametrize(
    ("stage", "cost"),
    [(Stage.EXPECTED, 0), (Stage.ARRIVED, 1200), (Stage.EXAMINING, 3700), (Stage.QUOTED, 3700)],
)
def test_it_costs_what_was_done_so_far(cast: Cast, stage: Stage, cost: int) -> None:
    assert leaving.cost_of_leaving(cast.job_at(stage)).sums.gross == cost


def test_collected_there_is_no_post_to_pay(cast: Cast) -> None:
    assert (
        leaving.cost_of_leaving(cast.job_at(Stage.EXAMINING, return_by=ReturnBy.COLLECT)).sums.gross == 2500
    )


def test_the_journal_keeps_why_and_what_it_cost(cast: Cast) -> None:
    job = cast.job_at(Stage.WITHDRAWN)
    assert job.entries.last().data == {
        "because": "Not worth it",
        "cost": 3700,
        "currency": "GBP",
        "holder": "customer",
    }


def test_it_costs_what_they_were_told_or_nothing_is_done(cast: Cast) -> None:
    """They read it before the examination began; now that would be owed as well."""
    job = cast.job_at(Stage.ARRIVED)
    seen = leaving.cost_of_leaving(job).sums.gross
    arriving.start_examination(job, cast.technician)
    with pytest.raises(Refused, match="became £37"):
        leaving.withdraw(job, Actor.customer(job.customer), seen=seen)
    assert not job.entries.filter(kind="withdrawn").exists()
    leaving.withdraw(job, Actor.customer(job.customer), seen=3700)
