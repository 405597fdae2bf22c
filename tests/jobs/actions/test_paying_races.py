"""Two at once about money, on a real database: what was paid is neither lost nor counted twice."""

from typing import Any

import pytest
from django.utils import timezone

from jobs import journal
from jobs.accounts import account
from jobs.actions import paying
from jobs.actions.refusals import Refused
from jobs.models import Job, Payment, Released
from jobs.words import Stage
from tests.cast import Cast
from tests.jobs.actions.test_races import at_once

pytestmark = pytest.mark.django_db(transaction=True)


def noting(cast: Cast, job: Job, amount: int, once: str, kind: str = "payment") -> Any:
    paid = paying.Paid(kind, "transfer", amount, timezone.localdate())
    return lambda: paying.note_payment(job, paid, once, cast.technician)


def test_two_devices_with_the_same_form_note_one_payment_and_get_the_same_row(cast: Cast) -> None:
    job = cast.job_at(Stage.READY)
    results = at_once(*[noting(cast, job, 9700, "the-same-form")] * 4)
    assert len({row.pk for row in results}) == 1
    assert (account(job).paid, job.entries.filter(kind="paid").count()) == (9700, 1)
    assert journal.verify(Job.objects.get(pk=job.pk)) is None


def test_the_same_form_for_two_jobs_notes_it_for_one(cast: Cast) -> None:
    jobs = [cast.job_at(Stage.READY), cast.job_at(Stage.READY, email="anselm@example.net")]
    results = at_once(*[noting(cast, job, 9700, "the-same-form") for job in jobs])
    assert sorted(type(each).__name__ for each in results) == ["Payment", "Refused"]
    assert sorted(account(job).paid for job in jobs) == [0, 9700]


def test_a_payment_is_taken_back_by_one_of_two(cast: Cast) -> None:
    job = cast.job_at(Stage.READY)
    cast.pay(job)
    payment = job.payments.get()
    results = at_once(*[lambda: paying.undo_payment(payment, "Noted twice", cast.technician)] * 3)
    assert sum(isinstance(each, Refused) for each in results) == 2
    assert (account(job).paid, Payment.objects.filter(reverses=payment).count()) == (0, 1)


def test_no_more_goes_back_than_came_however_many_give_it_back(cast: Cast) -> None:
    job = cast.job_at(Stage.READY)
    cast.pay(job)
    results = at_once(*[noting(cast, job, 9700, f"refund-{n}", "refund") for n in range(3)])
    assert sum(isinstance(each, Payment) for each in results) == 1
    assert account(job).paid == 0


def test_it_is_let_go_once(cast: Cast) -> None:
    job = cast.job_at(Stage.READY)
    results = at_once(*[lambda: paying.release(job, "A friend of the house", cast.owner)] * 2)
    assert sorted(type(each).__name__ for each in results) == ["Refused", "Released"]
    assert Released.objects.filter(job=job).count() == 1
