from datetime import timedelta

import pytest
from django.utils import timezone

from jobs.actions.promising import promise
from jobs.actions.refusals import Refused
from jobs.words import Stage
from tests.cast import Cast


def in_days(days: int):  # type: ignore[no-untyped-def]
    return timezone.localdate() + timedelta(days=days)


def test_two_dates_are_given_and_journalled(cast: Cast) -> None:
    job = cast.job_at(Stage.EXAMINING)
    promise(job, in_days(5), in_days(9), cast.technician)
    assert (job.likely_by, job.surely_by) == (in_days(5), in_days(9))
    assert job.entries.last().data["likely_by"] == in_days(5).isoformat()


@pytest.mark.parametrize(("likely", "surely", "field"), [(-1, 5, "likely_by"), (5, 4, "surely_by")])
def test_days_past_or_the_wrong_way_round_are_refused(
    cast: Cast, likely: int, surely: int, field: str
) -> None:
    with pytest.raises(Refused) as refused:
        promise(cast.job_at(Stage.EXAMINING), in_days(likely), in_days(surely), cast.technician)
    assert refused.value.field == field


def test_nothing_is_promised_once_it_is_over(cast: Cast) -> None:
    with pytest.raises(Refused):
        promise(cast.home(), in_days(5), in_days(9), cast.technician)
