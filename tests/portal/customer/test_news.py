"""Live: the page notices a change at the price of one cheap conditional request."""

import json

import pytest

from jobs.actions import asking, working
from jobs.actions.photo import photo_is_ready
from jobs.actor import Actor
from jobs.models import Photo
from jobs.words import Stage
from tests.once import made_once
from tests.portal.customer.pages import HTMX, to

MOST_QUERIES = 2


@pytest.fixture
def job(cast):
    return made_once(cast.job_at, Stage.AGREED)


def news(visitor, job, etag="", since=0, photos=0):
    return visitor.get(
        to("my_news", job), {"since": since, "photos": photos}, headers=HTMX | {"If-None-Match": etag}
    )


def test_nothing_new_costs_two_queries_and_sends_nothing(as_customer, job, django_assert_max_num_queries):
    visitor = as_customer(job)
    etag = news(visitor, job)["ETag"]
    with django_assert_max_num_queries(MOST_QUERIES):
        response = news(visitor, job, etag)
    assert (response.status_code, response.content) == (304, b"")


def test_the_page_carries_the_tag_that_its_first_question_sends(as_customer, job):
    visitor = as_customer(job)
    etag = news(visitor, job)["ETag"]
    assert json.dumps({"If-None-Match": etag}).replace('"', "&quot;") in visitor.get(to("my", job)).text


def test_a_new_entry_brings_the_live_part_and_says_what_is_new(cast, as_customer, job):
    visitor = as_customer(job)
    etag, seq = news(visitor, job)["ETag"], job.last_seq
    working.start_work(job, cast.technician)
    response = news(visitor, job, etag, since=seq)
    assert response.status_code == 200
    assert "It is on the bench now." in response.text
    assert json.loads(response["HX-Trigger"]) == {"say": {"value": "Something new: The work began."}}


def test_a_photograph_that_became_ready_is_news(as_customer, job):
    visitor = as_customer(job)
    photo = Photo.objects.create(job=job, purpose="arrival")
    etag = news(visitor, job)["ETag"]
    photo_is_ready(photo, width=640, height=480, sizes={"400": "ab/x.jpg"})
    response = news(visitor, job, etag, since=job.last_seq, photos=0)
    assert str(photo.uid) in response.text
    assert "a photograph" in response["HX-Trigger"]


def test_what_only_staff_see_is_not_announced(cast, as_customer, job):
    from jobs.actions.linking import ask_for_link

    visitor = as_customer(job)
    etag, seq = news(visitor, job)["ETag"], job.last_seq
    ask_for_link(job, cast.owner)
    response = news(visitor, job, etag, since=seq)
    assert response.status_code == 200
    assert "HX-Trigger" not in response


def test_the_live_part_is_a_piece_of_the_whole_page(as_customer, cast):
    for stage in (Stage.EXPECTED, Stage.QUOTED, Stage.READY):
        job = cast.job_at(stage)
        visitor = as_customer(job)
        assert news(visitor, job).text.strip() in visitor.get(to("my", job)).text


def test_what_is_typed_stays_outside_of_the_part_that_is_swapped(as_customer, job, cast):
    for each in (job, cast.book()):
        fragment = news(as_customer(each), each).text
        assert "<form" not in fragment
        assert "<textarea" not in fragment
        assert "<input" not in fragment


def test_everything_that_opens_has_a_name_so_that_it_stays_open(cast, as_customer):
    import re

    from jobs.library import get
    from jobs.library.facts import examples

    job = cast.job_at(Stage.EXAMINING, story="Long. " * 100)
    key = "lens/haze-inside"
    cast.post_finding(job, explanation=key, facts=examples(get(key).fields))
    names = re.findall(r"<details([^>]*)>", as_customer(job).get(to("my", job)).text)
    assert len(names) >= 2
    assert all(' id="' in name for name in names)


def test_without_htmx_the_news_lead_to_the_page(as_customer, job):
    assert as_customer(job).get(to("my_news", job))["Location"] == to("my", job)


def test_without_javascript_there_is_a_quiet_way_to_look_again(as_customer, job):
    assert "<noscript>" in as_customer(job).get(to("my", job)).text


def test_news_do_not_count_as_reading(as_customer, job):
    news(as_customer(job), job)
    job.refresh_from_db()
    assert job.opened_at is None


def test_an_answer_is_news(cast, as_customer, job):
    asked = asking.ask(job, "Is my film lost?", Actor.customer(job.customer), "one")
    visitor = as_customer(job)
    etag, seq = news(visitor, job)["ETag"], job.last_seq
    asking.answer(asked, "No.", cast.technician)
    assert "Something new" in news(visitor, job, etag, since=seq)["HX-Trigger"]


def test_a_visitor_whose_link_died_keeps_the_page_and_gets_no_news(as_customer, job):
    from jobs.actions.linking import revoke_links

    visitor = as_customer(job)
    revoke_links(job)
    response = news(visitor, job)
    assert (response.status_code, response.content) == (403, b"")
