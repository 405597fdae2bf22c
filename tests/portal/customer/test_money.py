"""What the customer's page says of money: only what is asked for now, and how to pay it."""

import re
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from jobs.actions import paying, quote, working
from jobs.models import Job, Workshop
from jobs.words import Stage
from tests.cast import Cast
from tests.portal.customer.pages import to, words_of

EURO = {
    "currency": "EUR",
    "account_holder": "Tidewater Camera Works",
    "iban": "BE49999000000171",
}


def part(page: str) -> str:
    """The words of the money part."""
    found = re.search(r'<section class="part" id="money">.*?</section>', page, re.DOTALL)
    return words_of(found.group(0)) if found else ""


def money_of(as_customer: Any, job: Job) -> str:
    return part(as_customer(job).get(to("my", job)).text)


def first_of(as_customer: Any, job: Job) -> str:
    page = as_customer(job).get(to("my", job)).text
    return words_of(page.partition('<section class="first">')[2].partition("</section>")[0])


def agreed(cast: Cast, **sending: Any) -> Job:
    job = cast.job_at(Stage.EXAMINING)
    cast.agree(cast.send_quote(job, sending=quote.Sending(**sending)))
    job.refresh_from_db()
    return job


@pytest.mark.parametrize("stage", [Stage.EXPECTED, Stage.EXAMINING, Stage.QUOTED])
def test_nothing_is_said_of_money_before_anything_is_agreed(cast, as_customer, stage):
    assert money_of(as_customer, cast.job_at(stage)) == ""


def test_agreed_work_says_that_nothing_is_to_be_paid_now(cast, as_customer):
    said = money_of(as_customer, cast.job_at(Stage.IN_WORK))
    assert "Nothing is to be paid now." in said
    assert "Together £97" in said
    assert "How to pay" not in said


def test_a_deposit_is_asked_for_before_the_work(cast, as_customer):
    Workshop.objects.update(account_words="Cash or card at the counter.")
    job = agreed(cast, deposit=3000)
    said = money_of(as_customer, job)
    assert "We ask for £30 of it before the work begins." in said
    assert "Cash or card at the counter." in said
    first = first_of(as_customer, job)
    assert "It begins once the deposit is here." in first
    assert "How to pay" in first
    cast.pay(job, 3000, kind="deposit", way="transfer")
    said = money_of(as_customer, job)
    assert re.search(r"Deposit on \d+ \w+, by bank transfer −£30", said)
    assert "Still to pay £67" in said
    assert "We ask for" not in said


def test_ready_by_post_and_unpaid_it_waits_for_payment(cast, as_customer):
    job = cast.job_at(Stage.READY)
    first = first_of(as_customer, job)
    assert "It is your move, Orla." in first
    assert "Once it is paid, we send it home to you." in first
    assert "We are open" not in first
    assert "How to pay" in first
    assert "£97 is to be paid. As soon as we have it, we send your parcel." in money_of(as_customer, job)


def test_ready_by_post_and_paid_it_is_our_move(cast, as_customer):
    job = cast.job_at(Stage.READY)
    cast.pay(job)
    job.refresh_from_db()
    assert "We pack it and send it home to you." in first_of(as_customer, job)
    assert "All is paid. Thank you." in money_of(as_customer, job)


def test_what_is_collected_is_paid_then_or_before(cast, as_customer):
    job = cast.job_at(Stage.READY, return_by="collect")
    first = first_of(as_customer, job)
    assert "It is ready for you to collect." in first
    assert "We are open: Tuesday to Saturday, 10 to 5." in first
    assert "Pay when you collect it, or before." in money_of(as_customer, job)


def test_what_ended_without_repair_says_what_it_costs_and_how_to_pay(cast, as_customer):
    job = cast.job_at(Stage.WITHDRAWN)
    assert "Once it is paid, we send it." in first_of(as_customer, job)
    said = money_of(as_customer, job)
    assert "£37 is to be paid." in said
    assert "It goes back as it is £37" in said


def test_an_end_that_costs_nothing_says_nothing_of_money(cast, as_customer):
    Workshop.objects.update(assessment_fee=0, carriage_fee=0)
    assert money_of(as_customer, cast.job_at(Stage.WITHDRAWN)) == ""


def test_what_was_let_go_unpaid_is_still_owed(cast, as_customer):
    job = cast.job_at(Stage.READY)
    paying.release(job, "A friend of the house", cast.owner)
    working.send_back(job, cast.technician)
    said = money_of(as_customer, job)
    assert "£97 is still to be paid." in said
    assert "friend of the house" not in as_customer(job).get(to("my", job)).text


def test_too_much_is_given_back(cast, as_customer):
    job = cast.job_at(Stage.READY)
    cast.pay(job, 10000)
    said = money_of(as_customer, job)
    assert "You have paid £3 more than it comes to." in said
    assert "Paid too much £3" in said


def test_a_payment_noted_by_mistake_has_no_line(cast, as_customer):
    job = cast.job_at(Stage.READY)
    cast.pay(job, 5000)
    paying.undo_payment(job.payments.get(), "Another job's", cast.technician)
    page = words_of(as_customer(job).get(to("my", job)).text)
    assert "Together £97" in page
    assert "−£50" not in page
    assert "Another job" not in page


def test_an_account_in_euros_comes_with_a_code_and_the_same_in_words(cast, as_customer):
    Workshop.objects.update(**EURO)
    page = as_customer(job := cast.job_at(Stage.READY)).get(to("my", job)).text
    said = part(page)
    for words in ("Tidewater Camera Works", "BE49 9990 0000 0171", "€97", "RF"):
        assert words in said
    assert 'class="paycode"' in page
    assert "Check the sum before you send it." in said
    assert re.search(r'aria-label="Code for a bank’s app: €97 to Tidewater Camera Works, reference RF', page)


def test_an_account_in_pounds_has_no_code(cast, as_customer):
    Workshop.objects.update(**EURO | {"currency": "GBP"})
    page = as_customer(job := cast.job_at(Stage.READY)).get(to("my", job)).text
    assert "BE49 9990 0000 0171" in part(page)
    assert "paycode" not in page


def test_a_payment_link_is_filled_in_and_says_where_it_leads(cast, as_customer):
    Workshop.objects.update(pay_link="https://pay.example.org/{reference}?sum={amount}")
    page = as_customer(job := cast.job_at(Stage.READY)).get(to("my", job)).text
    link = re.search(r'href="(https://pay[^"]*)" rel="noreferrer noopener"', page)
    assert link
    assert re.fullmatch(r"https://pay\.example\.org/RF\w+\?sum=97\.00", link.group(1))
    assert "to pay.example.org." in part(page)


@pytest.mark.parametrize("link", ["javascript:alert(1)", "http://pay.example.org/", "https://a@b.example/"])
def test_a_link_that_is_not_plainly_https_is_left_out(cast, as_customer, link):
    Workshop.objects.update(pay_link=link)
    page = as_customer(job := cast.job_at(Stage.READY)).get(to("my", job)).text
    assert link not in page


def test_without_any_way_to_pay_they_are_told_to_ask(cast, as_customer):
    assert "Ask us how to pay, here or by telephone. 01632 960100" in money_of(
        as_customer, cast.job_at(Stage.READY)
    )


def test_words_of_the_workshop_are_no_markup(cast, as_customer):
    Workshop.objects.update(account_words="<b>Cash</b>\nonly")
    page = as_customer(job := cast.job_at(Stage.READY)).get(to("my", job)).text
    assert "&lt;b&gt;Cash&lt;/b&gt;<br>only" in page


@pytest.mark.parametrize(
    "make",
    [
        lambda cast: cast.job_at(Stage.READY),
        lambda cast: cast.job_at(Stage.IN_WORK),
        lambda cast: agreed(cast, deposit=3000),
        lambda cast: cast.home(),
    ],
)
def test_the_page_with_money_takes_at_most_twelve_queries(cast, as_customer, make):
    Workshop.objects.update(**EURO)
    job = make(cast)
    visitor = as_customer(job)
    with CaptureQueriesContext(connection) as caught:
        assert visitor.get(to("my", job)).status_code == 200
    assert len(caught) <= 12


@pytest.mark.parametrize("work_waits", [True, False])
def test_one_thing_more_is_answered_first(cast, as_customer, work_waits):
    job = cast.job_at(Stage.IN_WORK)
    draft = quote.draft_quote(job)
    quote.put_line(draft, quote.LineDraft("work", "needed", "Fit a sound rear group", 7800))
    quote.send_quote(draft, cast.technician, sending=quote.Sending(work_waits=work_waits))
    job.refresh_from_db()
    first = first_of(as_customer, job)
    assert "Answer one thing more" in first
    assert (
        "One thing more waits for your answer. What you agreed goes on meanwhile." in first
    ) is not work_waits
    assert "Together £97" in money_of(as_customer, job)
