"""The page of hours and days: read back as it was typed, kept when it is right, and clear when it is not."""

from datetime import UTC, datetime, time
from typing import Any

import pytest
from django.test import Client

from jobs.actions.house import open_house
from jobs.models import Workshop
from portal.office import holiday_places
from tests.cast import Cast
from tests.portal.conftest import Visitor

pytestmark = pytest.mark.django_db
PAGE = "/office/settings/hours/"
RIGHT = {
    "digest_minutes": "30",
    "quiet_from": "19:30",
    "quiet_until": "08:00",
    "work_days": ["1", "2", "3", "4", "5"],
    "holidays_in": "GB-SCT",
    "closed_days": "24 December 2026 to 2 January 2027\n5/2/2027",
    "storage_days": "90",
    "storage_words": "We ring you. After a year we give it to the technical college.",
}


@pytest.fixture
def owner(cast: Cast, as_staff: Visitor) -> Client:
    return as_staff(cast.owner_user)


def house() -> Workshop:
    found = Workshop.objects.current()
    assert found
    return found


def wrong(owner: Client, **typed: Any) -> str:
    """The page that comes back; nothing may have changed."""
    before = vars(house()).copy()
    answer = owner.post(PAGE, RIGHT | typed)
    assert answer.status_code == 422
    assert {**vars(house()), "_state": None} == {**before, "_state": None}
    return answer.content.decode()


def test_what_is_typed_is_kept(owner: Client) -> None:
    assert owner.post(PAGE, RIGHT).status_code == 303
    kept = house()
    assert (kept.digest_minutes, kept.quiet_from, kept.quiet_until) == (30, time(19, 30), time(8))
    assert (kept.work_days, kept.holidays_in, kept.storage_days) == ([1, 2, 3, 4, 5], "GB-SCT", 90)
    assert kept.closed_days[0] == "2026-12-24"
    assert len(kept.closed_days) == 11


def test_it_reads_back_as_people_write_it(owner: Client) -> None:
    owner.post(PAGE, RIGHT)
    page = owner.get(PAGE).content.decode()
    assert "24 December 2026 to 2 January 2027\n5 February 2027" in page
    assert 'value="19:30"' in page
    assert "Scotland, United Kingdom" in page


def test_it_says_when_news_of_this_moment_would_go(owner: Client, time_machine: Any) -> None:
    time_machine.move_to(datetime(2026, 11, 27, 21, 0, tzinfo=UTC), tick=False)
    owner.post(PAGE, RIGHT)
    # Saturday is worked here.
    assert "21:00, would go on Saturday 28 November, 08:00" in owner.get(PAGE).content.decode()


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("digest_minutes", "soon", "Type a whole number from 0 to 240."),
        ("quiet_from", "late", "Write a time of day: 20:00."),
        ("work_days", [], "Without a working day nothing that waits would ever go."),
        ("work_days", ["9"], "Press one or more of these."),
        ("holidays_in", "ZZ-TOP", "Choose one of these."),
        ("holidays_in", "GB-TOP", "Choose one of these."),
        ("closed_days", "some day", "“some day” is no day."),
        ("closed_days", "2 January 2027 to 24 December 2026", "2026” ends before it begins."),
        ("closed_days", "2026-01-01 to 2036-01-01", "is more than a year."),
        ("closed_days", "2026-01-01 to 2026-12-31\n2027-01-01 to 2027-12-31", "more than a year of days"),
        ("storage_days", "0", "Type a whole number from 1 to 3,650."),
        ("storage_words", "See https://law.example.org", "Leave web addresses out."),
    ],
)
def test_a_slip_says_what_is_wrong_keeps_what_was_typed_and_changes_nothing(
    owner: Client, field: str, typed: Any, sentence: str
) -> None:
    page = wrong(owner, **{field: typed})
    assert sentence in page
    assert "technical college" in page or field == "storage_words"


def test_a_technician_may_not_change_them(cast: Cast, as_staff: Visitor) -> None:
    assert as_staff(cast.technician_user).post(PAGE, RIGHT).status_code == 403


def test_regions_are_offered_for_the_workshops_own_country_and_countries_for_all(owner: Client) -> None:
    page = owner.get(PAGE).content.decode()
    assert '<option value="GB-WLS">Wales</option>' in page
    assert '<option value="DE">Germany</option>' in page
    assert "DE-BY" not in page
    owner.post(PAGE, RIGHT | {"holidays_in": "DE"})
    assert '<option value="DE-BY">Bayern</option>' in owner.get(PAGE).content.decode()


def test_every_place_that_is_offered_is_known() -> None:
    for _name, group in holiday_places.choices("GB")[1:]:
        for place, name in group:
            assert holiday_places.is_known(place)
            assert name


@pytest.mark.parametrize(
    ("zone", "place"),
    [("Europe/Berlin", "DE"), ("America/New_York", "US"), ("UTC", ""), ("Antarctica/Troll", "")],
)
def test_a_new_workshop_keeps_the_holidays_of_its_time_zones_country(zone: str, place: str) -> None:
    told = {"name": "Quay Works", "place": "Saltmere", "address": "1 Quay", "time_zone": zone}
    open_house(told, username="ida", full_name="Ida Marsh", email="", password="three-words-that-fit")
    assert house().holidays_in == place
