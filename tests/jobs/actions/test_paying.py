from dataclasses import replace
from datetime import date, timedelta

import pytest
from django.db import DatabaseError, connection, transaction
from django.utils import timezone

from jobs import journal
from jobs.accounts import account
from jobs.actions import leaving, paying, quote, working
from jobs.actions.paying import Paid
from jobs.actions.refusals import Refused
from jobs.models import Job, Payment
from jobs.words import Holder, Stage
from tests.cast import Cast
from tests.once import made_once


def by_card(amount: int, kind: str = "payment", on: date | None = None) -> Paid:
    return Paid(kind, "card", amount, on or timezone.localdate())


@pytest.fixture
def ready(cast: Cast) -> Job:
    """Ready to be posted; 97 pounds are to be paid."""
    return made_once(cast.job_at, Stage.READY)


def test_what_was_agreed_is_due_until_it_is_paid(cast: Cast, ready: Job) -> None:
    assert (account(ready).agreed, account(ready).due) == (9700, 9700)
    paying.note_payment(ready, by_card(9700), "once", cast.technician)
    assert (account(ready).paid, account(ready).due, account(ready).is_settled) == (9700, 0, True)


def test_ready_and_unpaid_it_is_the_customers_move_and_paid_it_is_ours(cast: Cast, ready: Job) -> None:
    assert (ready.holder, ready.waits_for_money) == (Holder.CUSTOMER, True)
    assert "Once it is paid" in ready.next_words
    paying.note_payment(ready, by_card(9700), "once", cast.technician)
    assert (ready.holder, ready.waits_for_money) == (Holder.WORKSHOP, False)


def test_a_part_of_it_leaves_the_rest_due(cast: Cast, ready: Job) -> None:
    paying.note_payment(ready, by_card(5000), "once", cast.technician)
    assert (account(ready).due, ready.holder) == (4700, Holder.CUSTOMER)


def test_it_does_not_leave_before_it_is_paid(cast: Cast, ready: Job) -> None:
    with pytest.raises(Refused, match="£97 is still to be paid"):
        working.send_back(ready, cast.technician)
    assert Job.objects.get().stage == Stage.READY


def test_paid_it_leaves(cast: Cast, ready: Job) -> None:
    cast.pay(ready)
    working.send_back(ready, cast.technician)
    assert Job.objects.get().stage == Stage.RETURNED


def test_the_owner_lets_it_go_with_a_reason(cast: Cast, ready: Job) -> None:
    paying.release(ready, "An old customer; pays at the end of the month.", cast.owner)
    assert ready.holder == Holder.WORKSHOP
    working.send_back(ready, cast.technician)
    assert ready.entries.get(kind="released").data["due"] == 9700


def test_not_without_one(cast: Cast, ready: Job) -> None:
    with pytest.raises(Refused) as refused:
        paying.release(ready, "  ", cast.owner)
    assert refused.value.field == "because"


def test_where_nothing_is_owed_there_is_nothing_to_release(cast: Cast, ready: Job) -> None:
    cast.pay(ready)
    with pytest.raises(Refused, match="Nothing keeps it here"):
        paying.release(ready, "Why not", cast.owner)


def test_what_goes_back_unrepaired_is_paid_for_first(cast: Cast) -> None:
    job = cast.job_at(Stage.WITHDRAWN)  # examined: 25 and 12 for the post
    assert (account(job).due, job.holder) == (3700, Holder.CUSTOMER)
    with pytest.raises(Refused):
        working.send_back(job, cast.technician)
    cast.pay(job)
    assert job.holder == Holder.WORKSHOP
    working.send_back(job, cast.technician, left_as="together", left_note="Two screws in a bag.")
    assert (job.entries.last().data["left_as"], Job.objects.get().left_note) == (
        "together",
        "Two screws in a bag.",
    )


def test_collected_it_is_the_customers_move_paid_or_not(cast: Cast) -> None:
    job = cast.job_at(Stage.READY, cast.book(return_by="collect"))
    assert (job.holder, job.waits_for_money) == (Holder.CUSTOMER, False)
    with pytest.raises(Refused, match="still to be paid"):
        working.send_back(job, cast.technician)
    cast.pay(job)
    working.send_back(job, cast.technician)
    assert Job.objects.get().holder == Holder.NOBODY


def test_under_warranty_nothing_is_due(cast: Cast) -> None:
    assert account(cast.job_at(Stage.EXAMINING)).is_empty


# --- deposits -------------------------------------------------------------------------------------------------------


def with_deposit(cast: Cast) -> Job:
    job = cast.job_at(Stage.EXAMINING)
    draft = quote.draft_quote(job)
    quote.put_line(draft, quote.LineDraft("work", "needed", "Free the winding gears", 8500))
    cast.agree(quote.send_quote(draft, cast.technician, sending=quote.Sending(deposit=3000)))
    job.refresh_from_db()
    return job


def test_agreed_work_waits_for_its_deposit(cast: Cast) -> None:
    job = with_deposit(cast)
    assert (job.stage, job.holder, account(job).deposit_due) == (Stage.AGREED, Holder.CUSTOMER, 3000)
    assert "deposit" in job.next_words
    paying.note_payment(job, by_card(3000, "deposit"), "once", cast.technician)
    assert (job.holder, account(job).deposit_due, account(job).due) == (Holder.WORKSHOP, 0, 5500)


def test_a_deposit_is_named_also_while_one_thing_more_waits_beside_it(cast: Cast) -> None:
    job = with_deposit(cast)
    draft = quote.draft_quote(job)
    quote.put_line(draft, quote.LineDraft("work", "needed", "Seal the curtain", 2800))
    quote.send_quote(draft, cast.technician)
    job.refresh_from_db()
    assert (job.holder, job.waits_for_money) == (Holder.CUSTOMER, True)
    assert "deposit" in job.next_words


def test_a_deposit_that_is_taken_back_makes_it_wait_again(cast: Cast) -> None:
    job = with_deposit(cast)
    payment = paying.note_payment(job, by_card(3000, "deposit"), "once", cast.technician)
    paying.undo_payment(payment, "The wrong job", cast.technician)
    job.refresh_from_db()
    assert (job.holder, account(job).deposit_due) == (Holder.CUSTOMER, 3000)


def test_a_deposit_stays_in_the_account_of_a_job_that_is_called_off(cast: Cast) -> None:
    job = with_deposit(cast)
    paying.note_payment(job, by_card(3000, "deposit"), "once", cast.technician)
    leaving.withdraw(job, cast.technician)
    assert (account(job).agreed, account(job).paid, account(job).due) == (3700, 3000, 700)


# --- slips ----------------------------------------------------------------------------------------------------------


def test_the_same_form_sent_twice_is_one_payment(cast: Cast, ready: Job) -> None:
    first = paying.note_payment(ready, by_card(5000), "once", cast.technician)
    again = paying.note_payment(ready, by_card(5000), "once", cast.technician)
    assert first == again
    assert account(ready).paid == 5000


@pytest.mark.parametrize("amount", [0, -1, 10**12])
def test_an_amount_that_cannot_be_is_refused(cast: Cast, ready: Job, amount: int) -> None:
    with pytest.raises(Refused) as refused:
        paying.note_payment(ready, by_card(amount), "once", cast.technician)
    assert refused.value.field == "amount"
    assert not Payment.objects.exists()


def test_a_day_that_is_to_come_is_refused(cast: Cast, ready: Job) -> None:
    paid = by_card(100, on=timezone.localdate() + timedelta(days=1))
    with pytest.raises(Refused) as refused:
        paying.note_payment(ready, paid, "once", cast.technician)
    assert refused.value.field == "on"


def test_no_more_goes_back_than_came(cast: Cast, ready: Job) -> None:
    cast.pay(ready, 5000)
    with pytest.raises(Refused, match="Only £50 was paid"):
        paying.note_payment(ready, by_card(5001, "refund"), "twice", cast.technician)


def test_what_went_back_is_due_again(cast: Cast, ready: Job) -> None:
    cast.pay(ready)
    paying.note_payment(ready, by_card(700, "refund"), "back", cast.technician)
    ready.refresh_from_db()
    assert (account(ready).due, ready.holder) == (700, Holder.CUSTOMER)


def test_paid_too_much_is_said(cast: Cast, ready: Job) -> None:
    cast.pay(ready, 10000)
    assert (account(ready).over, account(ready).due) == (300, 0)


def test_a_payment_is_taken_back_once_and_with_a_reason(cast: Cast, ready: Job) -> None:
    payment = paying.note_payment(ready, by_card(5000), "once", cast.technician)
    with pytest.raises(Refused):
        paying.undo_payment(payment, "", cast.technician)
    paying.undo_payment(payment, "Typed at the wrong job", cast.technician)
    with pytest.raises(Refused, match="already"):
        paying.undo_payment(payment, "Again", cast.technician)
    assert (account(ready).paid, journal.verify(Job.objects.get())) == (0, None)


def test_a_payment_of_which_some_went_back_is_not_taken_back_before_the_refund(
    cast: Cast, ready: Job
) -> None:
    payment = paying.note_payment(ready, by_card(9700), "once", cast.technician)
    refund = paying.note_payment(ready, by_card(700, "refund"), "back", cast.technician)
    with pytest.raises(Refused, match="refund back first"):
        paying.undo_payment(payment, "Wrong job", cast.technician)
    paying.undo_payment(refund, "Wrong job", cast.technician)
    paying.undo_payment(payment, "Wrong job", cast.technician)
    assert account(ready).paid == 0


def test_no_payment_is_ever_changed_or_struck_out(cast: Cast, ready: Job) -> None:
    cast.pay(ready)
    for statement in ("UPDATE jobs_payment SET amount = 1", "DELETE FROM jobs_payment"):
        with pytest.raises(DatabaseError), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(statement)


def test_a_parcel_on_its_way_stays_where_it_is_when_money_comes_late(cast: Cast, ready: Job) -> None:
    paying.release(ready, "Pays later", cast.owner)
    working.send_back(ready, cast.technician)
    paying.note_payment(ready, replace(by_card(9700), way="transfer"), "late", cast.technician)
    assert (ready.holder, account(ready).due) == (Holder.CARRIER, 0)


def back_to_the_bench(cast: Cast, job: Job, price: int) -> None:
    """Released, and then the tests show more: it is agreed, done, and ready again."""
    paying.release(job, "An old friend", cast.owner)
    working.start_proving(job, cast.technician)
    working.prove(job, [working.Tested("transport", False)], cast.technician)
    draft = quote.draft_quote(job)
    quote.put_line(draft, quote.LineDraft("work", "needed", "Seal the curtain", price))
    cast.agree(quote.send_quote(draft, cast.technician))
    working.start_proving(job, cast.technician)
    working.prove(job, [working.Tested("transport", True)], cast.technician)
    job.refresh_from_db()


def test_what_is_agreed_after_it_was_released_was_not_let_go(cast: Cast, ready: Job) -> None:
    back_to_the_bench(cast, ready, 90000)
    assert ready.holder == Holder.CUSTOMER
    with pytest.raises(Refused, match="still to be paid"):
        working.send_back(ready, cast.technician)
    paying.release(ready, "A very old friend", cast.owner)
    assert ready.released.because == "A very old friend"
    working.send_back(ready, cast.technician)


def test_with_no_more_to_pay_than_was_let_go_it_may_leave(cast: Cast, ready: Job) -> None:
    back_to_the_bench(cast, ready, 0)
    assert ready.holder == Holder.WORKSHOP
    working.send_back(ready, cast.technician)


def test_released_a_payment_noted_since_and_undone_keeps_nothing_here(cast: Cast, ready: Job) -> None:
    paying.release(ready, "An old friend", cast.owner)
    paying.undo_payment(
        paying.note_payment(ready, by_card(500), "once", cast.technician), "A slip", cast.owner
    )
    assert Job.objects.get(pk=ready.pk).holder == Holder.WORKSHOP
    working.send_back(ready, cast.technician)
