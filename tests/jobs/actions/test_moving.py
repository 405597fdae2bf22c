import pytest

from jobs import stages
from jobs.actions.moving import changing, hand_to, move
from jobs.actions.refusals import Refused
from jobs.words import Holder, ReturnBy, Stage
from tests.cast import Cast


@pytest.mark.parametrize("here", Stage)
@pytest.mark.parametrize("there", Stage)
def test_only_moves_of_the_table_are_made(cast: Cast, here: Stage, there: Stage) -> None:
    job = cast.book()
    job.stage = here
    if stages.may_move(here, there):
        move(job, there)
        assert job.stage == there
    else:
        with pytest.raises(Refused):
            move(job, there)


def test_the_clock_of_days_waited_goes_on_while_the_holder_stays(cast: Cast) -> None:
    job = cast.job_at(Stage.ARRIVED)
    since = job.holder_since
    with changing(job) as fresh:
        move(fresh, Stage.EXAMINING)
    assert job.holder_since == since


def test_the_clock_starts_again_with_a_new_holder(cast: Cast) -> None:
    job = cast.job_at(Stage.ARRIVED)
    since = job.holder_since
    hand_to(job, Holder.SUPPLIER)
    assert job.holder_since > since


def test_what_is_ready_waits_for_the_customer_when_it_is_collected(cast: Cast) -> None:
    job = cast.job_at(Stage.READY, return_by=ReturnBy.COLLECT)
    assert job.holder == Holder.CUSTOMER


def test_what_never_came_has_nobody_to_wait_for_once_withdrawn(cast: Cast) -> None:
    job = cast.book()
    move(job, Stage.WITHDRAWN)
    assert job.holder == Holder.NOBODY
