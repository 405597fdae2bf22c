import pytest

from jobs.actions import arriving
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.words import Holder, Stage
from tests.cast import Cast


def test_posting_it_makes_it_the_carriers_move(cast: Cast) -> None:
    job = cast.book()
    arriving.say_posted(job, Actor.customer(job.customer))
    assert job.holder == Holder.CARRIER


def test_saying_so_twice_is_noted_once(cast: Cast) -> None:
    job = cast.book()
    for _ in range(2):
        arriving.say_posted(job, Actor.customer(job.customer))
    assert job.entries.filter(kind="posted").count() == 1


def test_what_came_is_written_down_and_in_the_journal(cast: Cast) -> None:
    job = cast.book()
    arriving.receive(job, arriving.Parcel(loose_parts=3, condition="Dented rim."), cast.technician)
    assert job.arrival.loose_parts == 3
    assert job.entries.last().data["condition"] == "Dented rim."


def test_a_parcel_without_anything_is_refused(cast: Cast) -> None:
    with pytest.raises(Refused) as refused:
        arriving.receive(cast.book(), arriving.Parcel(body=False), cast.technician)
    assert refused.value.field == "body"


def test_it_does_not_arrive_twice(cast: Cast) -> None:
    job = cast.job_at(Stage.ARRIVED)
    with pytest.raises(Refused):
        arriving.receive(job, arriving.Parcel(), cast.technician)
    assert job.entries.filter(kind="arrived").count() == 1
