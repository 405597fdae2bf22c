"""How many cameras stayed at home because somebody looked first, as the office reads it."""

from datetime import date

import pytest
from django.test import Client

from jobs.library import get
from jobs.models import SettledAtHome
from portal.office.at_home import at_home
from tests.portal.customer.pages import words_of

REWIND, SCREWS = "rewind/button-will-not-stay-in", "body/screws-torn-by-earlier-hands"
TODAY = date(2026, 11, 25)

pytestmark = pytest.mark.django_db


def settle(key: str, *days: date) -> None:
    for day in days:
        SettledAtHome.objects.create(key=key, day=day, kind="reflex")


def test_while_nothing_was_settled_nothing_is_said(cast, as_staff):
    assert at_home(TODAY) is None
    assert "settled at home" not in as_staff(cast.owner_user).get("/office/").text


def test_this_month_and_all_are_said_in_one_sentence():
    settle(REWIND, TODAY, date(2026, 11, 1), date(2026, 10, 31))
    assert at_home(TODAY).words == "Two cameras were settled at home this month, three in all."


def test_one_is_said_as_one_and_none_as_none():
    settle(REWIND, date(2026, 10, 31))
    assert at_home(TODAY).words == "No camera was settled at home this month, one in all."
    settle(REWIND, TODAY)
    assert at_home(TODAY).words == "One camera was settled at home this month, two in all."


def test_they_are_counted_by_explanation_the_most_frequent_first():
    settle(SCREWS, TODAY)
    settle(REWIND, TODAY, date(2026, 9, 3))
    assert [(each.title, each.month, each.ever) for each in at_home(TODAY).by] == [
        (get(REWIND).title, 1, 2),
        (get(SCREWS).title, 1, 1),
    ]


def test_an_explanation_that_is_gone_is_named_by_its_key():
    settle("handling/no-longer-there", TODAY)
    assert at_home(TODAY).by[0].title == "handling/no-longer-there"


def test_the_office_shows_it_on_its_first_sheet_only(cast, as_staff):
    settle(REWIND, TODAY)
    owner: Client = as_staff(cast.owner_user)
    assert get(REWIND).title in words_of(owner.get("/office/").text)
    assert "settled at home" not in owner.get("/office/?show=money").text


def test_it_takes_one_query_for_the_rows_however_many(django_assert_num_queries):
    at_home(TODAY)
    settle(REWIND, TODAY, TODAY, TODAY)
    settle(SCREWS, TODAY)
    with django_assert_num_queries(2):  # the other: whether the workshop has changed its library
        at_home(TODAY)
