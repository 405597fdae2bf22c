"""What the office says after a press on "nudge": what it says is when the letter really goes."""

from datetime import UTC, datetime, time
from typing import Any

import pytest
from django.test import Client

from jobs.models import Job, Workshop
from jobs.words import Stage
from notifications import relay
from notifications.models import Letter
from tests.cast import Cast
from tests.portal.conftest import Visitor

pytestmark = pytest.mark.django_db
BY_DAY = datetime(2026, 11, 26, 11, 0, tzinfo=UTC)  # a Thursday
AT_NIGHT = datetime(2026, 11, 26, 22, 30, tzinfo=UTC)
ON_A_SATURDAY = datetime(2026, 11, 28, 11, 0, tzinfo=UTC)


@pytest.fixture
def quoted(cast: Cast, time_machine: Any) -> Job:
    time_machine.move_to(BY_DAY, tick=False)
    Workshop.objects.update(
        quiet_from=time(20), quiet_until=time(8), work_days=[0, 1, 2, 3, 4], time_zone="UTC", holidays_in=""
    )
    return cast.job_at(Stage.QUOTED)


@pytest.fixture
def owner(cast: Cast, as_staff: Visitor) -> Client:
    return as_staff(cast.owner_user)


def press(owner: Client, job: Job) -> str:
    """The page after it."""
    page: str = owner.post(f"/office/{job.shown_ref}/nudge/", follow=True).content.decode()
    return page.partition("<main")[2]


def goes_at() -> datetime:
    relay.run()
    at = Letter.objects.get(kind="nudged").next_attempt_at
    assert at
    return at


def test_by_day_it_is_on_its_way(quoted: Job, owner: Client) -> None:
    assert "A reminder to Orla Fennimore is on its way." in press(owner, quoted)
    assert goes_at() == BY_DAY


def test_at_night_the_hour_is_told_at_which_it_goes(quoted: Job, owner: Client, time_machine: Any) -> None:
    time_machine.move_to(AT_NIGHT, tick=False)
    assert "The reminder to Orla Fennimore goes on Friday 27 November, 08:00" in press(owner, quoted)
    assert goes_at() == datetime(2026, 11, 27, 8, tzinfo=UTC)


def test_on_a_day_off_the_day_is_told_on_which_it_goes(quoted: Job, owner: Client, time_machine: Any) -> None:
    time_machine.move_to(ON_A_SATURDAY, tick=False)
    assert "goes on Monday 30 November, 08:00: not in quiet hours, and not on a day off." in press(
        owner, quoted
    )
    assert goes_at() == datetime(2026, 11, 30, 8, tzinfo=UTC)


def test_a_name_with_a_sign_of_the_format_in_it_is_said_as_it_is(
    quoted: Job, owner: Client, time_machine: Any
) -> None:
    time_machine.move_to(BY_DAY, tick=False)
    type(quoted.customer).objects.filter(pk=quoted.customer_id).update(name="100% %(x)s Fennimore")
    assert "A reminder to 100% %(x)s Fennimore is on its way." in press(owner, quoted)
