"""The work, a part that is awaited, the way home, and the end without repair."""

from datetime import timedelta
from typing import Any

import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from jobs.actions.finding import answer_story
from jobs.actions.leaving import withdraw
from jobs.models import AwaitedPart, Entry, Job, Photo, Quote, Warranty
from tests.cast import Cast
from tests.portal.bench.conftest import upload

pytestmark = pytest.mark.usefixtures("contexts")


def press(browser: Client, name: str, job: Job, **said: Any) -> HttpResponse:
    return browser.post(reverse(name, args=[job.ref]), said)


def stage_of(job: Job) -> str:
    job.refresh_from_db()
    return job.stage


PRESSES = [
    ("agreed", "bench_work", "in_work"),
    ("awaiting_part", "bench_part_came", "agreed"),
    ("in_work", "bench_prove", "proving"),
    ("ready", "bench_prove", "proving"),
]


@pytest.mark.parametrize(("before", "name", "after"), PRESSES)
def test_one_press_moves_the_job(jory: Client, cast: Cast, before: str, name: str, after: str) -> None:
    job = cast.job_at(before)
    assert press(jory, name, job).status_code == 303
    assert stage_of(job) == after


@pytest.mark.parametrize(("before", "name", "after"), PRESSES)
def test_a_second_press_is_refused_in_words_and_changes_nothing(
    jory: Client, cast: Cast, before: str, name: str, after: str
) -> None:
    job = cast.job_at(before)
    press(jory, name, job)
    answer = press(jory, name, job)
    assert answer.status_code == 422
    assert "from there." in answer.content.decode()
    assert stage_of(job) == after


@pytest.mark.parametrize("name", ["bench_work", "bench_part_came", "bench_prove"])
def test_a_press_needs_a_post(jory: Client, cast: Cast, name: str) -> None:
    assert jory.get(reverse(name, args=[cast.book().ref])).status_code == 405


def test_waiting_for_a_part_says_which_from_whom_and_until_when(jory: Client, cast: Cast) -> None:
    job = cast.job_at("in_work")
    press(jory, "bench_part", job, what="Rewind fork", supplier="A breaker’s shelf", expected_on="2099-10-30")
    part = AwaitedPart.objects.get()
    assert (part.what, part.supplier, str(part.expected_on)) == (
        "Rewind fork",
        "A breaker’s shelf",
        "2099-10-30",
    )
    assert stage_of(job) == "awaiting_part"


@pytest.mark.parametrize("said", [{"what": ""}, {"what": " "}, {"what": "Fork", "expected_on": "soon"}])
def test_a_part_with_something_wrong_is_refused(jory: Client, cast: Cast, said: dict[str, str]) -> None:
    job = cast.job_at("agreed")
    assert press(jory, "bench_part", job, **said).status_code == 422
    assert stage_of(job) == "agreed"


def test_the_same_part_noted_twice_is_one(jory: Client, cast: Cast) -> None:
    job = cast.job_at("agreed")
    assert [press(jory, "bench_part", job, what="Fork").status_code for _ in range(2)] == [303, 422]
    assert AwaitedPart.objects.count() == 1


def test_it_is_sent_home_with_carrier_and_number(jory: Client, cast: Cast) -> None:
    job = cast.job_at("ready")
    cast.pay(job)
    press(jory, "bench_send_back", job, carrier="Saltmere Parcels", tracking="SP 4411")
    assert (stage_of(job), job.holder) == ("returned", "carrier")
    assert Entry.objects.filter(job=job).last().data["tracking"] == "SP 4411"


def test_the_page_reminds_of_loose_parts_that_came_with_it(jory: Client, cast: Cast) -> None:
    job = cast.job_at("ready")
    cast.pay(job)
    job.arrival.loose_parts = 3
    job.arrival.save()
    page = jory.get(reverse("bench_send_back", args=[job.ref])).content.decode()
    assert "3 loose parts came with it." in page
    assert "3 Quay Lane" in page


def test_it_is_sent_home_once(jory: Client, cast: Cast) -> None:
    job = cast.job_at("ready")
    cast.pay(job)
    assert [press(jory, "bench_send_back", job).status_code for _ in range(2)] == [303, 422]


def test_what_is_collected_is_home_at_once(jory: Client, cast: Cast) -> None:
    job = cast.job_at("ready", return_by="collect")
    cast.pay(job)
    press(jory, "bench_send_back", job)
    assert (stage_of(job), job.holder) == ("returned", "nobody")


@pytest.mark.parametrize("return_by", ["post", "collect"])
def test_while_something_is_to_be_paid_it_stays_and_the_page_says_how_much_and_where_to_note_it(
    jory: Client, cast: Cast, return_by: str
) -> None:
    job = cast.job_at("ready", return_by=return_by)
    page = jory.get(reverse("bench_send_back", args=[job.ref])).content.decode()
    assert "£97 is still to be paid." in page
    assert "It is on its way" not in page  # what cannot be done is no button
    assert reverse("bench_payments", args=[job.ref]) in page
    answer = press(jory, "bench_send_back", job, carrier="Saltmere Parcels")
    assert answer.status_code == 422
    assert "£97 is still to be paid. Note the payment first" in answer.content.decode()
    assert stage_of(job) == "ready"
    cast.pay(job)
    assert "still to be paid" not in jory.get(reverse("bench_send_back", args=[job.ref])).content.decode()


def test_what_was_not_mended_goes_back_with_how_it_is_left(jory: Client, cast: Cast) -> None:
    job = cast.job_at("withdrawn")
    cast.pay(job)
    press(jory, "bench_send_back", job, left_as="apart", left_note="All parts in two bags.")
    job.refresh_from_db()
    assert (job.left_as, job.left_note) == ("apart", "All parts in two bags.")


def test_how_it_is_left_begins_as_the_quote_said_it_would_be(jory: Client, cast: Cast) -> None:
    job = cast.job_at("quoted")
    Quote.objects.filter(job=job).update(if_declined="together", if_declined_note="One screw is new.")
    withdraw(job, cast.technician)
    cast.pay(job)
    page = jory.get(reverse("bench_send_back", args=[job.ref])).content.decode()
    form = jory.get(reverse("bench_send_back", args=[job.ref])).context["form"]
    assert form["left_as"].value() == "together"
    assert "One screw is new." in page


@pytest.mark.parametrize(
    "said", [{"left_as": "burnt"}, {"left_as": "apart", "left_note": "x" * 301}, {"carrier": "x" * 61}]
)
def test_something_wrong_in_sending_it_back_is_refused(
    jory: Client, cast: Cast, said: dict[str, str]
) -> None:
    job = cast.job_at("withdrawn")
    cast.pay(job)
    assert press(jory, "bench_send_back", job, **said).status_code == 422
    job.refresh_from_db()
    assert (job.holder, job.left_as) == ("workshop", "")


def test_nobody_is_asked_how_mended_work_is_left(jory: Client, cast: Cast) -> None:
    job = cast.job_at("ready")
    assert 'name="left_as"' not in jory.get(reverse("bench_send_back", args=[job.ref])).content.decode()


def test_the_warranty_begins_on_the_day_it_was_delivered(jory: Client, cast: Cast) -> None:
    job = cast.job_at("returned")
    day = timezone.localdate() - timedelta(days=2)
    assert press(jory, "bench_delivered", job, on=day.isoformat()).status_code == 303
    assert Warranty.objects.get(job=job).starts_on == day


@pytest.mark.parametrize("days", [1, 400])
def test_it_cannot_be_delivered_on_a_day_to_come(jory: Client, cast: Cast, days: int) -> None:
    job = cast.job_at("returned")
    day = timezone.localdate() + timedelta(days=days)
    answer = press(jory, "bench_delivered", job, on=day.isoformat())
    assert answer.status_code == 422
    assert 'id="id_on_error"' in answer.content.decode()


def test_delivered_twice_it_has_one_warranty(jory: Client, cast: Cast) -> None:
    job = cast.job_at("returned")
    today = timezone.localdate().isoformat()
    assert [press(jory, "bench_delivered", job, on=today).status_code for _ in range(2)] == [303, 422]
    assert Warranty.objects.count() == 1


def test_ending_without_repair_says_beforehand_what_it_costs(jory: Client, examined: Job) -> None:
    page = jory.get(reverse("bench_withdraw", args=[examined.ref])).content.decode()
    assert "it costs £37" in page
    assert stage_of(examined) == "examining"


def test_a_job_ends_without_repair_once(jory: Client, examined: Job) -> None:
    answers = [press(jory, "bench_withdraw", examined, because="Not worth it").status_code for _ in range(2)]
    assert answers == [303, 422]
    assert stage_of(examined) == "withdrawn"


def test_a_job_in_work_cannot_end_without_repair(jory: Client, cast: Cast) -> None:
    job = cast.job_at("in_work")
    assert press(jory, "bench_withdraw", job).status_code == 422
    assert stage_of(job) == "in_work"


def test_nothing_to_mend_needs_the_answer_to_the_story_first(jory: Client, cast: Cast, examined: Job) -> None:
    answer = press(jory, "bench_nothing", examined)
    assert answer.status_code == 422
    assert "Answer the customer&#x27;s story first." in answer.content.decode()
    answer_story(examined, "No. It was the lever.", cast.technician)
    assert press(jory, "bench_nothing", examined).status_code == 303
    assert stage_of(examined) == "ready"


def test_photographs_of_the_result_are_taken_in(jory: Client, cast: Cast) -> None:
    job = cast.job_at("in_work")
    assert press(jory, "bench_results", job, photos=[upload(), upload()]).status_code == 303
    assert list(Photo.objects.values_list("purpose", flat=True)) == ["result", "result"]


def test_a_result_that_is_no_photograph_says_why(jory: Client, cast: Cast) -> None:
    answer = press(
        jory, "bench_results", cast.job_at("in_work"), photos=[upload(b"%PDF-1.7" + bytes(20), "a.pdf")]
    )
    assert answer.status_code == 422
    assert "a.pdf: This is not a photo that we can open." in answer.content.decode()


def test_no_photograph_chosen_says_so(jory: Client, cast: Cast) -> None:
    assert press(jory, "bench_results", cast.job_at("in_work")).status_code == 422
