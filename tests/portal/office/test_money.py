"""The office and money: the account of a job, letting it go unpaid, and what the sheet says of sums that are due."""

import re
from typing import Any

import pytest
from django.db import connection
from django.http import HttpResponse
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from jobs.actions import paying, quote, working
from jobs.actions.refusals import Refused
from jobs.models import Job, Kind, Released
from jobs.quoting import Tax
from jobs.words import Stage
from notifications.chasing import keeping
from notifications.models import Owing
from tests.cast import Cast
from tests.portal.conftest import Visitor

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner(cast: Cast, as_staff: Visitor) -> Client:
    return as_staff(cast.owner_user)


def read(client: Client, path: str = "/office/") -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", client.get(path).text.partition("<main")[2]))


def page_of(client: Client, job: Job) -> str:
    return read(client, f"/office/{job.shown_ref}/")


def let_go(client: Client, job: Job, because: str = "They pay at the end of the month.") -> HttpResponse:
    return client.post(f"/office/{job.shown_ref}/release/", {"because": because})


def with_deposit(cast: Cast) -> Job:
    job = cast.job_at(Stage.EXAMINING)
    cast.agree(cast.send_quote(job, sending=quote.Sending(deposit=3000)))
    job.refresh_from_db()
    return job


def test_the_page_of_a_job_shows_what_is_agreed_paid_and_due(cast: Cast, owner: Client) -> None:
    job = cast.job_at(Stage.READY)
    cast.pay(job, 5000, way="transfer")
    page = page_of(owner, job)
    assert "£47 is still to be paid." in page
    assert "Free the winding gears £85" in page
    assert "Together £97" in page
    assert "noted by Jory Pell" in page
    assert "VAT 20 %, £16.17, is in it." in page


def test_tax_of_several_rates_stands_rate_by_rate(cast: Cast, owner: Client) -> None:
    type(cast.workshop).objects.update(tax_mode="added")
    job = cast.job_at(Stage.EXAMINING)
    draft = quote.draft_quote(job)
    for title, rate in (("Free the gears", 2000), ("Clean it", 500)):
        quote.put_line(draft, quote.LineDraft("work", "needed", title, 10000, tax=Tax(rate_bp=rate)))
    cast.post_finding(job)
    cast.agree(quote.send_quote(draft, cast.technician))
    page = page_of(owner, job)
    assert "VAT 5 % £5" in page
    assert "VAT 20 % £20" in page
    assert "Together £225" in page


def test_a_job_without_an_agreement_says_that_there_is_nothing_to_pay(cast: Cast, owner: Client) -> None:
    assert "There is nothing to pay." in page_of(owner, cast.job_at(Stage.ARRIVED))


def test_the_owner_lets_it_go_with_a_reason(cast: Cast, owner: Client) -> None:
    job = cast.job_at(Stage.READY)
    assert let_go(owner, job).status_code == 303
    page = page_of(owner, job)
    assert "Hester Quill let it go before it was paid" in page
    assert "They pay at the end of the month." in page
    assert "£97 is still to be paid." in page
    working.send_back(job, cast.technician)
    assert job.stage == Stage.RETURNED


@pytest.mark.parametrize("because", ["", "  "])
def test_letting_go_needs_a_reason(cast: Cast, owner: Client, because: str) -> None:
    job = cast.job_at(Stage.READY)
    answer = let_go(owner, job, because)
    assert answer.status_code == 422
    assert "Say why, for whoever asks later." in answer.text
    assert not Released.objects.exists()


def test_a_technician_cannot_let_it_go(cast: Cast, as_staff: Visitor) -> None:
    job = cast.job_at(Stage.READY)
    assert let_go(as_staff(cast.technician_user), job).status_code == 403
    assert not Released.objects.exists()
    with pytest.raises(Refused, match="still to be paid"):
        working.send_back(job, cast.technician)


@pytest.mark.parametrize("stage", [Stage.IN_WORK, Stage.RETURNED])
def test_what_nothing_keeps_here_cannot_be_let_go(cast: Cast, owner: Client, stage: Stage) -> None:
    job = cast.job_at(stage)
    answer = let_go(owner, job)
    assert answer.status_code == 422
    assert "Nothing keeps it here." in answer.text
    assert 'value="They pay at the end of the month."' in answer.text
    assert not job.entries.filter(kind=Kind.RELEASED).exists()


def test_it_is_let_go_once(cast: Cast, owner: Client) -> None:
    job = cast.job_at(Stage.READY)
    assert [let_go(owner, job).status_code for _ in range(2)] == [303, 422]
    assert job.entries.filter(kind=Kind.RELEASED).count() == 1


def test_the_sheet_says_what_is_to_be_paid_before_it_is_posted(cast: Cast, owner: Client) -> None:
    job = cast.job_at(Stage.READY)
    page = read(owner)
    assert "waits for payment" in page
    assert "£97 to pay" in page
    cast.pay(job)
    page = read(owner)
    assert "pack and post" in page
    assert "to pay" not in page


def test_the_sheet_says_that_it_is_collected_and_paid_then(cast: Cast, owner: Client) -> None:
    cast.job_at(Stage.READY, return_by="collect")
    page = read(owner)
    assert "they collect it" in page
    assert "£97 to pay" in page


def test_the_sheet_says_that_work_waits_for_the_deposit(cast: Cast, owner: Client) -> None:
    job = with_deposit(cast)
    page = read(owner)
    assert "waits for the deposit" in page
    assert "£30 to pay" in page
    cast.pay(job, 3000, kind="deposit")
    assert "start the work" in read(owner)


def test_money_that_is_waited_for_stands_first_among_the_sums(cast: Cast, owner: Client) -> None:
    ready, deposit, working = cast.job_at(Stage.READY), with_deposit(cast), cast.job_at(Stage.IN_WORK)
    page = read(owner, "/office/?show=money")
    assert "is to be paid now. " in page.partition("agreed and not yet earned")[0]
    places = [page.index(job.shown_ref) for job in (ready, deposit)]
    assert page.index("Waits for payment") < min(places)
    assert max(places) < page.index("Agreed and not yet earned") < page.rindex(working.shown_ref)
    assert page.count(deposit.shown_ref) == 1


def test_what_went_home_before_it_was_paid_stays_among_the_sums_until_it_is(
    cast: Cast, owner: Client
) -> None:
    job = cast.job_at(Stage.READY)
    paying.release(job, "They pay at the end of the month.", cast.owner)
    working.send_back(job, cast.technician)
    working.deliver(job, cast.technician, timezone.localdate())
    page = read(owner, "/office/?show=money")
    assert f"{job.shown_ref} Returned 0 it went home before it was paid" in page
    assert "£97 to pay" in page
    cast.pay(job)
    assert job.shown_ref not in read(owner, "/office/?show=money")


def test_what_ended_without_repair_waits_for_what_it_costs(cast: Cast, owner: Client) -> None:
    cast.job_at(Stage.WITHDRAWN)
    page = read(owner)
    assert "waits for payment" in page
    assert "£37 to pay" in page


def test_one_thing_more_to_answer_is_no_payment(cast: Cast, owner: Client) -> None:
    """Agreed work waits for the answer to a supplementary quote, not for money."""
    job = cast.job_at(Stage.AGREED)
    draft = quote.draft_quote(job)
    quote.put_line(draft, quote.LineDraft("work", "needed", "Fit a sound rear group", 7800))
    quote.send_quote(draft, cast.technician, sending=quote.Sending(work_waits=True))
    keeping.refresh_all()
    page = read(owner)
    goes = Owing.objects.get(job=job).next_on
    assert goes
    assert f"reminder {goes:%a} {goes.day} {goes:%b}" in page
    assert "waits for" not in page


def queries(client: Client) -> int:
    with CaptureQueriesContext(connection) as caught:
        assert client.get("/office/").status_code == 200
    return len(caught)


def test_the_sheet_takes_no_more_queries_with_more_sums_to_pay(cast: Cast, owner: Client) -> None:
    cast.job_at(Stage.READY)
    few = queries(owner)
    for n in range(4):
        cast.pay(cast.job_at(Stage.READY, email=f"guest{n}@example.org"), 1000)
        cast.job_at(Stage.READY, email=f"other{n}@example.org", return_by="collect")
    assert queries(owner) == few


def test_a_second_agreement_is_in_the_sum(cast: Cast, owner: Client) -> None:
    job = cast.job_at(Stage.AGREED)
    draft = quote.draft_quote(job)
    quote.put_line(draft, quote.LineDraft("work", "needed", "Fit a sound rear group", 7800))
    cast.agree(quote.send_quote(draft, cast.technician))
    assert "£175" in read(owner)


def test_a_payment_noted_for_nothing_agreed_is_too_much(cast: Cast, owner: Client) -> None:
    job = cast.job_at(Stage.EXAMINING)
    cast.pay(job, 2000)
    assert "£20 was paid too much, and goes back." in page_of(owner, job)


def test_a_job_of_another_currency_is_not_added_up(cast: Cast) -> None:
    """What was paid is told in the currency of the quote, whatever the workshop's is by now."""
    job = cast.job_at(Stage.READY)
    type(cast.workshop).objects.update(currency="EUR")
    told: Any = paying.Paid("payment", "cash", 9700, job.created_at.date())
    assert paying.note_payment(job, told, "once", cast.owner).currency == "GBP"


def test_what_was_agreed_after_it_was_let_go_can_be_let_go_too(cast: Cast, owner: Client) -> None:
    job = cast.job_at(Stage.READY)
    let_go(owner, job)
    assert "/release/" not in owner.get(f"/office/{job.shown_ref}/").text
    working.start_proving(job, cast.technician)
    draft = quote.draft_quote(job)
    quote.put_line(draft, quote.LineDraft("work", "needed", "Seal the curtain", 2800))
    cast.agree(quote.send_quote(draft, cast.technician))
    working.prove(job, [working.Tested("transport", True)], cast.technician)
    assert "/release/" in owner.get(f"/office/{job.shown_ref}/").text
    assert let_go(owner, job, "That as well.").status_code == 303
    working.send_back(job, cast.technician)
