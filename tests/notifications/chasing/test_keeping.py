"""The summary of what is owed: it follows the rows, knows what comes next, and costs little however many jobs there are."""

from datetime import date

import pytest

from jobs.actions import asking, enquiring
from jobs.actor import Actor
from jobs.models import Quote
from notifications import chasing
from notifications.chasing import keeping
from notifications.models import Owing, Pause
from tests.once import made_once


@pytest.fixture
def job(cast):
    return made_once(cast.job_at, "quoted")


def row_of(job):
    return Owing.objects.get(job=job)


def test_the_row_says_what_since_when_how_much_and_what_comes_next(job):
    keeping.refresh_all()
    row, quote = row_of(job), job.quotes.get()
    assert (row.about, row.thing, row.since) == ("quote", f"quote-{quote.pk}", quote.sent_at)
    assert (row.money, row.currency, row.last_day) == (9700, "GBP", quote.valid_until)
    assert row.state == "chased"
    assert (row.next_on, row.next_way, row.next_tone) == (date(2026, 7, 8), "email", "kind")


def test_a_job_that_cannot_be_reckoned_stops_no_other_row(cast, job, monkeypatch, caplog):
    other, reckon = cast.job_at("quoted", cast.another_book()), keeping.courses_of

    def one_is_broken(jobs, *rest):
        if job in jobs:
            raise ValueError
        return reckon(jobs, *rest)

    monkeypatch.setattr(keeping, "courses_of", one_is_broken)
    keeping.refresh_all()
    assert list(Owing.objects.values_list("job", flat=True)) == [other.pk]
    assert "could not be dealt with" in caplog.text


@pytest.mark.parametrize("once", [1, 2])
def test_no_test_begins_with_what_another_has_learned(job, once):
    assert keeping._known_on.cache_info().currsize == 0
    keeping.refresh_all()
    assert keeping._known_on.cache_info().currsize == 1


def test_the_chance_falls_and_a_call_gains_more_as_days_pass(job, go_to):
    found = []
    for day in (0, 12):
        go_to(day)
        keeping.refresh_all()
        found.append(row_of(job))
    assert 0 < found[1].chance < found[0].chance < 1
    assert 0 <= found[0].gain < found[1].gain <= found[1].money


def test_after_the_last_nudge_it_is_time_to_ring(job, after):
    for day in (2, 7, 14):
        after(day)
    row = row_of(job)
    assert (row.state, row.next_on, row.next_tone) == ("call", None, "")


def test_a_nudge_moves_the_next_one_on_at_once(job, after):
    after(2)
    row = row_of(job)
    assert (row.next_on, row.next_tone) == (date(2026, 7, 13), "plain")


def test_a_question_of_theirs_makes_it_our_move(cast, job):
    asking.ask(job, "Must it be now?", Actor.customer(job.customer), "once-1")
    keeping.refresh_all()
    assert (row_of(job).state, row_of(job).next_on) == ("ours", None)


def test_what_is_no_longer_owed_has_no_row(cast, job):
    keeping.refresh_all()
    cast.agree(job.quotes.get())
    keeping.refresh_all()
    assert not Owing.objects.exists()


def test_a_pause_that_has_run_out_is_chased_again(cast, job, go_to):
    chasing.pause(job, cast.owner, date(2026, 7, 9))
    go_to(3)
    keeping.refresh_all()
    assert (row_of(job).state, row_of(job).next_on) == ("chased", date(2026, 7, 9))
    assert Pause.objects.exists()  # it says who put it off, and why


def test_one_job_made_anew_leaves_the_rows_of_others_alone(cast, job):
    other = cast.job_at("quoted")
    keeping.refresh_all()
    Quote.objects.update(state="answered")
    keeping.refresh(job)
    assert [row.job for row in Owing.objects.all()] == [other]


def test_all_jobs_cost_as_many_queries_as_one_and_each_keeps_its_row(cast, job, django_assert_num_queries):
    def some():
        jobs = [cast.job_at("quoted"), cast.job_at("ready"), cast.job_at("ready", return_by="collect")]
        enquiring.enquire(jobs[0], "Which film?", cast.technician, f"ask-{jobs[0].pk}")

    some()
    keeping.refresh_all()
    before = set(Owing.objects.values_list("pk", flat=True))
    with django_assert_num_queries(22):
        keeping.refresh_all()
    assert set(Owing.objects.values_list("pk", flat=True)) == before
    some()
    with django_assert_num_queries(22):
        assert keeping.refresh_all() == 7


def test_more_jobs_than_fit_into_one_transaction_are_made_anew_in_several(cast, job, monkeypatch):
    monkeypatch.setattr(keeping, "BATCH", 1)
    cast.job_at("ready")
    assert keeping.refresh_all() == 2
    assert Owing.objects.count() == 2
