from datetime import timedelta

import pytest
from django.utils import timezone

from jobs.actions import finding, working
from jobs.actions.refusals import Refused
from jobs.words import Holder, ReturnBy, Stage
from tests.cast import Cast


def test_a_part_that_is_awaited_makes_it_the_suppliers_move(cast: Cast) -> None:
    job = cast.job_at(Stage.IN_WORK)
    working.await_part(
        job, "Rewind fork", cast.technician, expected_on=timezone.localdate() + timedelta(days=9)
    )
    assert (job.stage, job.holder) == (Stage.AWAITING_PART, Holder.SUPPLIER)


def test_when_the_part_came_it_waits_for_the_bench_again(cast: Cast) -> None:
    job = cast.job_at(Stage.AWAITING_PART)
    working.part_came(job, cast.technician)
    assert job.stage == Stage.AGREED
    assert job.awaited_parts.get().came_at is not None


def test_a_part_without_a_name_is_refused(cast: Cast) -> None:
    with pytest.raises(Refused):
        working.await_part(cast.job_at(Stage.AGREED), " ", cast.technician)


def test_content_with_every_test_it_is_ready(cast: Cast) -> None:
    job = cast.job_at(Stage.PROVING)
    assert working.prove(
        job, [working.Tested("transport", True), working.Tested("focus", True)], cast.technician
    )
    assert job.stage == Stage.READY


def test_one_test_that_does_not_content_us_sends_it_back_to_the_bench(cast: Cast) -> None:
    job = cast.job_at(Stage.PROVING)
    assert not working.prove(
        job, [working.Tested("transport", True), working.Tested("focus", False)], cast.technician
    )
    assert job.stage == Stage.IN_WORK


def test_nothing_is_proved_without_a_test(cast: Cast) -> None:
    with pytest.raises(Refused):
        working.prove(cast.job_at(Stage.PROVING), [], cast.technician)


def test_the_last_reading_of_a_mark_stands(cast: Cast) -> None:
    job = cast.job_at(Stage.IN_WORK)
    working.measure(job, "1/60", 21_000, after_work=True)
    working.measure(job, "1/60", 16_000, after_work=True)
    assert job.shutter_times.get().measured_us == 16_000


def test_a_mark_on_no_dial_is_refused(cast: Cast) -> None:
    with pytest.raises(Refused):
        working.measure(cast.job_at(Stage.IN_WORK), "1/7", 1000, after_work=True)


def test_nothing_broken_goes_straight_to_ready_once_the_story_is_answered(cast: Cast) -> None:
    job = cast.job_at(Stage.EXAMINING)
    with pytest.raises(Refused):
        working.nothing_to_mend(job, cast.technician)
    finding.answer_story(job, "Nothing is broken. The lever stood off its rest.", cast.technician)
    working.nothing_to_mend(job, cast.technician)
    assert job.stage == Stage.READY


def test_sent_by_post_it_is_with_the_carrier_until_it_is_home(cast: Cast) -> None:
    job = cast.job_at(Stage.RETURNED)
    assert job.holder == Holder.CARRIER
    working.deliver(job, cast.technician)
    assert job.holder == Holder.NOBODY


def test_collected_it_is_home_at_once_and_the_warranty_begins(cast: Cast) -> None:
    job = cast.job_at(Stage.RETURNED, return_by=ReturnBy.COLLECT)
    assert job.holder == Holder.NOBODY
    assert job.warranty.starts_on == timezone.localdate()


def test_it_is_not_delivered_tomorrow(cast: Cast) -> None:
    with pytest.raises(Refused):
        working.deliver(
            cast.job_at(Stage.RETURNED), cast.technician, timezone.localdate() + timedelta(days=1)
        )


def test_it_is_not_delivered_twice(cast: Cast) -> None:
    job = cast.home()
    with pytest.raises(Refused):
        working.deliver(job, cast.technician)


def test_what_was_withdrawn_goes_home_without_a_warranty(cast: Cast) -> None:
    job = cast.job_at(Stage.WITHDRAWN)
    cast.send_back(job)
    working.deliver(job, cast.technician)
    assert (job.stage, job.holder) == (Stage.WITHDRAWN, Holder.NOBODY)
    assert not hasattr(job, "warranty")


def test_what_was_sent_back_is_not_sent_again(cast: Cast) -> None:
    job = cast.job_at(Stage.WITHDRAWN)
    cast.send_back(job)
    with pytest.raises(Refused):
        cast.send_back(job)
