"""Payments at the bench: noted once, taken back with a reason, and a slip changes nothing."""

import re
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from jobs.accounts import account
from jobs.actions import quote
from jobs.models import Job, Kind, Payment
from portal.bench.payments import has_card_number
from tests.cast import Cast
from tests.once import made_once

pytestmark = pytest.mark.usefixtures("contexts")


@pytest.fixture
def ready(cast: Cast) -> Job:
    return made_once(cast.job_at, "ready")


def at(job: Job) -> str:
    return reverse("bench_payments", args=[job.ref])


def typed(**changed: Any) -> dict[str, Any]:
    today = timezone.localdate().isoformat()
    return {
        "amount": "97",
        "way": "transfer",
        "kind": "payment",
        "on": today,
        "note": "RF22 on the statement",
        "once": str(uuid4()),
    } | changed


def note(browser: Client, job: Job, **changed: Any) -> HttpResponse:
    return browser.post(at(job), typed(**changed))


def words(page: str) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", page.partition("<main")[2]))


def test_the_form_begins_with_what_is_due_today(jory: Client, ready: Job) -> None:
    form = jory.get(at(ready)).context["form"]
    assert (form["amount"].value(), form["kind"].value()) == ("97.00", "payment")
    assert form["on"].value() == timezone.localdate()


def test_a_missing_deposit_is_what_the_form_begins_with(jory: Client, cast: Cast) -> None:
    job = cast.job_at("examining")
    sent = cast.send_quote(job, sending=quote.Sending(deposit=3000))
    cast.agree(sent)
    answer = jory.get(at(job))
    assert (answer.context["form"]["amount"].value(), answer.context["form"]["kind"].value()) == (
        "30.00",
        "deposit",
    )
    assert "The deposit of £30 is not here yet. £97 is to be paid in all." in words(answer.text)


def test_a_payment_is_noted_and_the_account_says_who_and_how(jory: Client, ready: Job) -> None:
    answer = note(jory, ready, amount="£50", way="cash")
    assert answer["Location"] == at(ready)
    page = words(jory.get(at(ready)).text)
    assert "Noted: £50." in page
    assert "£47 is still to be paid." in page
    assert "noted by Jory Pell" in page
    assert "RF22 on the statement" in page


def test_all_paid_hands_the_job_back_to_the_workshop(jory: Client, ready: Job) -> None:
    note(jory, ready)
    ready.refresh_from_db()
    assert ready.holder == "workshop"
    assert "All is paid." in words(jory.get(at(ready)).text)


@pytest.mark.both
def test_the_same_form_sent_twice_is_one_payment(jory: Client, ready: Job) -> None:
    form = typed(amount="50")
    assert [jory.post(at(ready), form).status_code for _ in range(2)] == [303, 303]
    assert Payment.objects.count() == 1
    assert account(ready).paid == 5000


def test_two_cash_payments_of_the_same_sum_are_two(jory: Client, ready: Job) -> None:
    note(jory, ready, amount="40")
    note(jory, ready, amount="40")
    assert account(ready).paid == 8000


def test_a_form_of_another_job_is_refused(jory: Client, ready: Job, cast: Cast) -> None:
    form = typed()
    jory.post(at(ready), form)
    other = cast.job_at("ready", name="Anselm Okoro-Byrne", email="anselm@example.net")
    answer = jory.post(at(other), form)
    assert answer.status_code == 422
    assert "This form was sent for another job." in answer.text
    assert account(other).paid == 0


SLIPS = [
    ({"amount": ""}, "Type how much it was."),
    ({"amount": "0"}, "Type how much it was."),
    ({"amount": "-5"}, "An amount cannot be less than nothing."),
    ({"amount": "\N{MINUS SIGN}5"}, "An amount cannot be less than nothing."),
    ({"amount": "1e3"}, "That is not an amount of money."),
    ({"amount": "€97"}, "Amounts are in GBP here."),
    ({"amount": "9.999"}, "at most 2 places after the point"),
    ({"amount": "99999999999999"}, "more than any repair costs"),
    ({"amount": "NaN"}, "That is not an amount of money."),
    ({"on": "someday"}, "That is not a day."),
    ({"on": ""}, "Which day was it?"),
    ({"on": (timezone.localdate() + timedelta(days=2)).isoformat()}, "That day is still to come."),
    ({"kind": "refund"}, "Nothing was paid yet."),
    ({"kind": "gift"}, "Press one of these."),
    ({"way": "cheque"}, "Press one of these."),
    ({"way": ""}, "Press one of these."),
    ({"once": "x"}, "valid UUID"),
    ({"note": "4111 1111 1111 1111"}, "That looks like the number of a card."),
    ({"note": "x" * 201}, "at most 200 characters"),
]


@pytest.mark.parametrize(("slip", "sentence"), SLIPS)
def test_a_slip_is_told_and_nothing_is_noted(
    jory: Client, ready: Job, slip: dict[str, str], sentence: str
) -> None:
    before = ready.entries.count()
    answer = note(jory, ready, **slip)
    assert answer.status_code == 422
    assert sentence in answer.text.replace("&#x27;", "’")
    assert (Payment.objects.count(), ready.entries.count()) == (0, before)


def test_what_was_typed_is_kept_when_something_is_wrong(jory: Client, ready: Job) -> None:
    page = note(jory, ready, amount="1e3", note="by hand").text
    assert 'value="1e3"' in page
    assert 'value="by hand"' in page
    assert re.search(r'value="transfer"[^>]* checked', page)


def test_no_more_is_given_back_than_was_paid(jory: Client, ready: Job) -> None:
    note(jory, ready, amount="50")
    assert "Only £50 was paid." in note(jory, ready, kind="refund", amount="60").text
    assert note(jory, ready, kind="refund", amount="20").status_code == 303
    assert account(ready).paid == 3000


def undo(browser: Client, job: Job, payment: Payment, because: str = "Noted twice") -> HttpResponse:
    return browser.post(reverse("bench_payment_undo", args=[job.ref, payment.pk]), {"because": because})


def test_a_payment_noted_by_mistake_is_taken_back_and_both_stay(jory: Client, ready: Job) -> None:
    note(jory, ready)
    payment = Payment.objects.get()
    assert undo(jory, ready, payment).status_code == 303
    assert account(ready).due == 9700
    page = words(jory.get(at(ready)).text)
    assert "taken back by Jory Pell" in page
    assert "Noted twice" in page
    assert "Take it back" not in page
    ready.refresh_from_db()
    assert ready.holder == "customer"


def test_it_is_taken_back_once(jory: Client, ready: Job) -> None:
    note(jory, ready)
    payment = Payment.objects.get()
    undo(jory, ready, payment)
    answer = undo(jory, ready, payment)
    assert answer.status_code == 422
    assert "That has been taken back already." in answer.text
    assert ready.entries.filter(kind=Kind.PAYMENT_UNDONE).count() == 1


@pytest.mark.parametrize("because", ["", "   "])
def test_taking_back_needs_a_reason(jory: Client, ready: Job, because: str) -> None:
    note(jory, ready)
    answer = undo(jory, ready, Payment.objects.get(), because)
    assert answer.status_code == 422
    assert "Say what was wrong with it." in answer.text
    assert account(ready).paid == 9700


def test_what_took_a_payment_back_cannot_be_taken_back_itself(jory: Client, ready: Job) -> None:
    note(jory, ready)
    undo(jory, ready, Payment.objects.get())
    assert undo(jory, ready, Payment.objects.get(reverses__isnull=False)).status_code == 404


def test_a_payment_of_another_job_is_not_found(jory: Client, ready: Job, cast: Cast) -> None:
    note(jory, ready)
    other = cast.another_book()
    assert undo(jory, other, Payment.objects.get()).status_code == 404


def test_what_people_wrote_in_a_note_is_no_markup(jory: Client, ready: Job) -> None:
    note(jory, ready, note="<b>paid</b>")
    assert "<b>paid</b>" not in jory.get(at(ready)).text


def test_the_page_takes_no_more_queries_with_more_payments(
    jory: Client, ready: Job, django_assert_max_num_queries: Any
) -> None:
    for _ in range(12):
        note(jory, ready, amount="1")
    with django_assert_max_num_queries(10):
        jory.get(at(ready))


@pytest.mark.parametrize(
    ("text", "is_card"),
    [
        ("4111111111111111", True),
        ("paid with 5555-5555-5555-4444 by telephone", True),
        ("4111111111111112", False),
        ("BE49 9990 0000 0171", False),
        ("RF22 4TM7 QCV", False),
        ("01632 960142", False),
        ("", False),
    ],
)
def test_numbers_of_cards_are_known_by_their_checksum(text: str, is_card: bool) -> None:
    assert has_card_number(text) is is_card
