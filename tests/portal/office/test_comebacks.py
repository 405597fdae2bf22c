"""What came back under warranty, as the office counts it."""

from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone

from jobs.actions import leaving
from jobs.models import Cover, Job
from portal.office.comebacks import comebacks, said
from tests.cast import Cast
from tests.jobs.actions.claims import bring_home, examined, first_cover, judge, mended_again, open_claim
from tests.once import made_once
from tests.portal.customer.pages import words_of


@pytest.fixture
def home(cast: Cast) -> Job:
    return made_once(cast.home)


def counted() -> list[tuple[str, int, int, int]]:
    return [
        (row.tally.mechanism, row.tally.mended, row.tally.came_back, row.tally.same_again)
        for row in comebacks()
    ]


def test_while_no_warranty_has_begun_nothing_is_counted(cast: Cast) -> None:
    assert comebacks() == []
    assert said([]) == "No warranty has begun yet."


def test_a_job_that_went_home_is_one_mended(home: Job) -> None:
    assert counted() == [("transport", 1, 0, 0)]
    assert said(comebacks()) == "Nothing that we mended has failed again under its warranty so far."


def test_two_lines_of_one_mechanism_in_one_job_are_one_mended(home: Job) -> None:
    Cover.objects.create(
        warranty=home.warranty, what="Spring", mechanism="transport", line=first_cover(home).line,
        until=first_cover(home).until,
    )  # fmt: skip
    assert counted() == [("transport", 1, 0, 0)]


def test_what_came_back_counts_whatever_it_was(cast: Cast, home: Job) -> None:
    judge(cast, examined(cast, home), "not_covered", "other", None)
    assert counted() == [("transport", 1, 1, 0)]


def test_a_claim_that_nobody_has_sent_yet_did_not_come_back(cast: Cast, home: Job) -> None:
    claim = open_claim(home)
    assert counted() == [("transport", 1, 0, 0)]
    leaving.withdraw(claim, cast.technician)
    assert counted() == [("transport", 1, 0, 0)]


def test_the_same_again_counts_for_the_mechanism_that_failed(cast: Cast, home: Job) -> None:
    Cover.objects.create(
        warranty=home.warranty, what="Clear lens", mechanism="lens", line=first_cover(home).line,
        until=first_cover(home).until,
    )  # fmt: skip
    judge(cast, examined(cast, home), cover=first_cover(home))
    assert sorted(counted()) == [("lens", 1, 1, 0), ("transport", 1, 1, 1)]


def test_what_came_back_after_its_cover_had_ended_is_not_counted(cast: Cast, home: Job) -> None:
    Cover.objects.update(until=timezone.localdate() - timedelta(days=1))
    examined(cast, home)
    assert counted() == [("transport", 1, 0, 0)]


def test_the_last_day_of_a_cover_counts(cast: Cast, home: Job) -> None:
    Cover.objects.update(until=timezone.localdate())
    examined(cast, home)
    assert counted() == [("transport", 1, 1, 0)]


def test_mended_again_is_mended_anew_and_what_only_stood_on_is_not(cast: Cast, home: Job) -> None:
    Cover.objects.create(
        warranty=home.warranty, what="Clear lens", mechanism="lens", line=first_cover(home).line,
        until=first_cover(home).until,
    )  # fmt: skip
    mended_again(cast, home)
    assert sorted(counted()) == [("lens", 1, 1, 0), ("transport", 2, 1, 1)]


def test_a_job_that_came_back_twice_is_one_that_came_back(cast: Cast, home: Job) -> None:
    for _time in range(2):
        claim = examined(cast, home)
        judge(cast, claim, "goodwill", "other", None)
        bring_home(cast, claim)
    assert ("transport", 1, 1, 0) in counted()


def test_the_page_says_it_in_words(cast: Cast, home: Job, as_staff: Any) -> None:
    judge(cast, examined(cast, home), cover=first_cover(home))
    page = as_staff(cast.owner_user).get("/office/comebacks/").text
    words = words_of(page)
    assert "Of 1 things mended, 1 has failed again in the same way under its warranty." in words
    assert "Film transport 1 of 1 came back; too few to say more 1 the same again" in words
    assert 'class="reach"' not in page


def test_from_five_on_the_share_is_drawn_with_its_bounds(cast: Cast, as_staff: Any) -> None:
    for n in range(5):
        home = cast.home(cast.job_at("returned", name=f"Person {n}", email=f"p{n}@example.org"))
    judge(cast, examined(cast, home), cover=first_cover(home))
    page = as_staff(cast.owner_user).get("/office/comebacks/").text
    assert "1 of 5 came back; 4 to 62 in a hundred" in words_of(page)
    assert page.count('class="reach"') == 1
    assert "70 in a hundred</text>" in page


def test_the_office_leads_there(cast: Cast, as_staff: Any) -> None:
    assert '/office/comebacks/"' in as_staff(cast.owner_user).get("/office/").text


def test_it_takes_two_queries_however_many_jobs_there_are(
    cast: Cast, home: Job, django_assert_num_queries: Any
) -> None:
    with django_assert_num_queries(2):
        comebacks()
    for _each in range(2):
        examined(cast, cast.home(cast.job_at("returned", cast.another_book())))
    with django_assert_num_queries(2):
        comebacks()
