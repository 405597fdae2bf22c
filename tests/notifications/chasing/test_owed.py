"""What is owed: read from the rows, named alike for as long as it is owed, and gone with the act that settles it."""

from datetime import date, timedelta

import pytest
from django.utils import timezone

from jobs.accounts import account
from jobs.actions import deciding, enquiring, leaving, paying, quote, working
from jobs.actor import Actor
from jobs.models import Payment, Workshop
from notifications.chasing import owed
from notifications.chasing.owed import owed_by


def told(job):
    job.refresh_from_db()
    return [(each.about, each.money) for each in owed(job)]


def things(job):
    job.refresh_from_db()
    return [each.thing for each in owed(job)]


def quoted_with_a_deposit(cast, deposit):
    job = cast.job_at("examining")
    draft = quote.draft_quote(job)
    quote.put_line(draft, quote.LineDraft("work", "needed", "Free the gears", 8500))
    sent = quote.send_quote(draft, cast.technician, sending=quote.Sending(deposit=deposit))
    cast.agree(sent)
    return job


@pytest.mark.parametrize("stage", ["expected", "arrived", "examining", "in_work", "proving", "returned"])
def test_nothing_is_owed_while_it_is_our_move(cast, stage):
    assert owed(cast.job_at(stage)) == []


def test_an_open_quote_is_owed_an_answer_and_what_it_needs_waits(cast):
    job = cast.job_at("quoted")
    sent = job.quotes.get()
    (found,) = owed(job)
    assert (found.about, found.thing) == ("quote", f"quote-{sent.pk}")
    assert (found.since, found.last_day) == (sent.sent_at, sent.valid_until)
    assert (found.money, found.currency) == (8500 + 1200, "GBP")


def test_of_a_quote_that_needs_nothing_all_of_it_waits(cast):
    job = cast.job_at("examining")
    draft = quote.draft_quote(job)
    quote.put_line(draft, quote.LineDraft("work", "optional", "New covering", 4200))
    quote.put_line(draft, quote.LineDraft("carriage", "needed", "Post", 1200))
    quote.send_quote(draft, cast.technician)
    assert told(job) == [("quote", 5400)]


def test_one_thing_more_is_owed_an_answer_while_the_work_goes_on(cast):
    job = cast.job_at("in_work")
    draft = quote.draft_quote(job)
    quote.put_line(draft, quote.LineDraft("work", "needed", "The clockwork too", 3000))
    quote.send_quote(draft, cast.technician)
    assert told(job) == [("quote", 3000)]


def test_a_question_of_ours_is_owed_an_answer_and_what_is_agreed_waits_for_it(cast):
    job = cast.job_at("in_work")
    enquiry = enquiring.enquire(job, "Shall the dent stay?", cast.technician, "ask-1")
    assert told(job) == [("question", account(job).due)]
    assert things(job) == [f"enquiry-{enquiry.pk}"]


def test_of_two_questions_the_older_is_the_thing_and_then_the_other(cast):
    job = cast.job_at("in_work")
    first, second = (
        enquiring.enquire(job, "And this?", cast.technician, once) for once in ("ask-1", "ask-2")
    )
    before = things(job)
    enquiring.answer_enquiry(first, "Yes.", Actor.customer(job.customer))
    assert (before, things(job)) == ([f"enquiry-{first.pk}"], [f"enquiry-{second.pk}"])


def test_a_question_that_we_took_back_is_not_owed(cast):
    job = cast.job_at("in_work")
    enquiring.drop_enquiry(enquiring.enquire(job, "This?", cast.technician, "ask-1"), cast.technician)
    assert owed(job) == []


def test_a_question_left_open_is_not_owed_once_the_camera_is_home(cast):
    job = cast.job_at("in_work")
    enquiring.enquire(job, "Shall the dent stay?", cast.technician, "ask-1")
    assert [about for about, _money in told(cast.finish(job))] == []


def test_a_question_left_open_is_not_owed_by_somebody_who_takes_it_back_as_it_is(cast):
    job = cast.job_at("quoted")
    enquiring.enquire(job, "Which film?", cast.technician, "ask-1")
    leaving.withdraw(job, Actor.customer(job.customer), "Rather not.")
    assert "question" not in dict(told(job))


def test_a_deposit_is_owed_until_it_is_here(cast):
    job = quoted_with_a_deposit(cast, 3000)
    assert told(job) == [("payment", 3000)]
    cast.pay(job, 3000, kind="deposit")
    assert told(job) == []


def test_the_rest_of_a_payment_is_another_thing_so_that_it_is_asked_for_kindly(cast):
    job = quoted_with_a_deposit(cast, 3000)
    before = things(job)
    cast.pay(job, 1000, kind="deposit")
    assert told(job) == [("payment", 2000)]
    assert things(job) != before


def test_what_is_due_before_the_parcel_leaves_is_owed(cast):
    job = cast.job_at("ready")
    assert told(job) == [("payment", 9700)]
    cast.pay(job)
    assert told(job) == []


def test_nothing_is_owed_of_what_the_owner_let_go_until_it_is_home_and_then_it_is(cast):
    job = cast.job_at("ready")
    paying.release(job, "An old customer.", cast.owner)
    assert told(job) == []
    working.send_back(job, cast.technician)
    assert told(job) == [("payment", 9700)]
    cast.pay(job)
    assert told(job) == []


def test_a_payment_that_was_taken_back_after_it_went_home_is_owed(cast):
    job = cast.job_at("returned")
    paying.undo_payment(Payment.objects.get(job=job), "It was another’s.", cast.owner)
    assert told(job) == [("payment", 9700)]


def test_something_to_fetch_is_one_thing_owed_with_what_is_due_for_it(cast):
    Workshop.objects.update(storage_days=30)
    job = cast.job_at("ready", return_by="collect")
    (found,) = owed(job)
    assert (found.about, found.money) == ("collection", 8500 + 1200)
    assert found.last_day == timezone.localdate() + timedelta(days=30)
    cast.pay(job)
    assert told(job) == [("collection", 0)]


def test_what_goes_back_as_it_is_waits_to_be_fetched_too(cast):
    job = cast.job_at("examining", return_by="collect")
    leaving.withdraw(job, cast.technician, "Not worth it")
    assert [about for about, _money in told(job)] == ["collection"]


def test_once_it_is_fetched_nothing_is_owed(cast):
    job = cast.job_at("ready", return_by="collect")
    cast.send_back(job)
    assert told(job) == []


def test_what_went_back_to_the_bench_and_is_ready_again_is_another_thing(cast):
    """The days begin anew."""
    job = cast.job_at("ready", return_by="collect")
    before = things(job)
    working.start_proving(job, cast.technician)
    assert things(job) == []
    working.prove(job, [working.Tested("transport", True)], cast.technician)
    assert things(job) != before


def test_a_quote_and_a_question_are_two_things(cast):
    job = cast.job_at("quoted")
    enquiring.enquire(job, "Which film?", cast.technician, "ask-1")
    assert [about for about, _money in told(job)] == ["quote", "question"]


def test_taking_it_back_as_it_is_ends_what_the_quote_was_owed(cast):
    job = cast.job_at("quoted")
    leaving.withdraw(job, Actor.customer(job.customer), "Rather not.")
    assert "quote" not in dict(told(job))


def test_an_answer_of_nothing_leaves_the_fees_to_be_paid(cast):
    job = cast.job_at("quoted")
    sent = job.quotes.get()
    answer = deciding.Answer(sent.shown_hash, [], "Orla Fennimore", "None of it.")
    deciding.decide(sent, answer, Actor.customer(job.customer))
    assert told(job) == [("payment", 1200)]


def test_many_jobs_cost_as_many_queries_as_one(cast, django_assert_num_queries):
    def some():
        jobs = [cast.job_at("quoted"), cast.job_at("ready"), cast.job_at("ready", return_by="collect")]
        enquiring.enquire(jobs[0], "Which film?", cast.technician, f"ask-{jobs[0].pk}")
        return jobs

    one = some()
    with django_assert_num_queries(8):
        owed_by(one)
    three = [*one, *some(), *some()]
    with django_assert_num_queries(8):
        assert len(owed_by(three)) == 9


def test_a_job_that_owes_nothing_costs_two_queries(cast, django_assert_num_queries):
    job = cast.job_at("arrived")
    with django_assert_num_queries(2):
        assert owed(job) == []


def test_the_last_day_of_free_storage_is_counted_by_the_workshops_clock(cast, go_to):
    go_to(0.6)  # 23:24 UTC on Monday is Tuesday there
    (found,) = owed(cast.job_at("ready", return_by="collect"))
    assert found.last_day == date(2026, 7, 7) + timedelta(days=60)
