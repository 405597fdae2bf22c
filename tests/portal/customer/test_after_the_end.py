"""A job that ended without repair: no page promises what will not come."""

import pytest

from jobs.actions import leaving, warranting
from jobs.actions.arriving import say_posted
from jobs.actor import Actor
from jobs.models import Quote, Workshop
from jobs.words import Stage
from tests.once import made_once
from tests.portal.customer.pages import to


@pytest.fixture
def called_off(cast):
    """Called off with the quote still open."""
    job = made_once(cast.job_at, Stage.QUOTED)
    leaving.withdraw(job, Actor.customer(job.customer))
    return job


def test_the_quote_that_was_open_promises_no_new_one(called_off, as_customer):
    text = as_customer(called_off).get(to("my_quote", called_off)).text
    assert "There was no agreed quote" in text
    assert "A new quote comes here" not in text


def test_a_quote_that_had_lapsed_is_not_offered_for_renewal(cast, as_customer):
    job = cast.job_at(Stage.QUOTED)
    leaving.withdraw(job, Actor.customer(job.customer))
    Quote.objects.filter(job=job).update(state=Quote.State.LAPSED)
    assert "renew" not in as_customer(job).get(to("my_quote", job)).text
    assert "renew" not in as_customer(job).get(to("my", job)).text


def test_without_a_quote_none_is_announced(cast, as_customer):
    job = cast.book()
    leaving.withdraw(job, Actor.customer(job.customer))
    assert "The job ended before there was one." in as_customer(job).get(to("my_quote", job)).text


def test_no_warranty_is_announced(called_off, as_customer):
    text = as_customer(called_off).get(to("my_warranty", called_off)).text
    assert "There is no warranty" in text
    assert "It begins on the day your camera is back" not in text


def test_calling_off_a_claim_leaves_the_first_warranty_as_it_is(cast, as_customer):
    first = cast.home()
    claim = warranting.open_claim(first, "It drags again.", Actor.customer(first.customer))
    cast.job_at(Stage.EXAMINING, claim)
    text = as_customer(claim).get(to("my_leave", claim)).text
    assert "The warranty of the first repair stands as it is." in text
    assert "There is no warranty" not in text


def test_calling_off_is_not_offered_while_the_parcel_is_on_its_way(cast, as_customer):
    job = cast.book()
    say_posted(job, Actor.customer(job.customer), "Saltmere Parcels 1")
    assert to("my_leave", job) not in as_customer(job).get(to("my", job)).text
    assert "It is on its way to us" in as_customer(job).get(to("my_leave", job)).text


@pytest.mark.parametrize(
    ("stage", "return_by", "said"),
    [
        (Stage.EXPECTED, "post", "You need not send anything."),
        (Stage.EXAMINING, "post", "Once it is paid, we send it; your page and the letter say how."),
        (Stage.EXAMINING, "collect", "You can collect it"),
    ],
)
def test_what_comes_next_depends_on_where_it_is(cast, as_customer, stage, return_by, said):
    job = cast.job_at(stage)
    type(job).objects.filter(pk=job.pk).update(return_by=return_by)
    answer = as_customer(job).post(to("my_leave", job), {"name": "Orla Fennimore"}, follow=True)
    assert said in answer.text


def test_an_end_that_costs_nothing_is_sent_without_more(cast, as_customer):
    Workshop.objects.update(assessment_fee=0, carriage_fee=0)
    job = cast.job_at(Stage.EXAMINING)
    answer = as_customer(job).post(to("my_leave", job), {"name": "Orla Fennimore"}, follow=True)
    assert "We write when it leaves." in answer.text
