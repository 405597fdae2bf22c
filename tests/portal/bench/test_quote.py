"""Writing a quote and sending it."""

from datetime import timedelta
from typing import Any

import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from jobs.actions.quote import lapse
from jobs.models import Entry, Job, Line, Quote, Workshop
from jobs.words import TaxMode
from tests.cast import Cast

LINE = {
    "kind": "work",
    "need": "needed",
    "title": "Free the winding gears",
    "why": "Without this it cannot wind on.",
    "price": "85.50",
    "months": "12",
}


def at(job: Job) -> str:
    return reverse("bench_quote", args=[job.ref])


def add(browser: Client, job: Job, **said: Any) -> HttpResponse:
    return browser.post(at(job), {"do": "line", **LINE, **said})


def send(browser: Client, job: Job, **said: Any) -> HttpResponse:
    return browser.post(at(job), {"do": "send", "valid_until": in_days(28), "note": "", **said})


def in_days(days: int) -> str:
    return (timezone.localdate() + timedelta(days=days)).isoformat()


def page_of(answer: HttpResponse) -> str:
    return answer.content.decode()


def test_looking_at_the_page_writes_no_quote(jory: Client, examined: Job) -> None:
    assert jory.get(at(examined)).status_code == 200
    assert not Quote.objects.exists()


def test_a_line_is_added_with_its_price_in_minor_units_and_its_finding(
    jory: Client, cast: Cast, examined: Job
) -> None:
    finding = cast.post_finding(examined)
    assert add(jory, examined, findings=[finding.pk]).status_code == 303
    line = Line.objects.get()
    assert (line.price, line.months, list(line.findings.all())) == (8550, 12, [finding])


@pytest.mark.parametrize(("typed", "minor"), [("85", 8500), ("£1,250", 125000), ("0", 0), (" 12.5 ", 1250)])
def test_a_price_is_typed_as_people_write_money(jory: Client, examined: Job, typed: str, minor: int) -> None:
    add(jory, examined, price=typed)
    assert Line.objects.get().price == minor


@pytest.mark.parametrize("typed", ["", "dear", "85.505", "-5", "1e3", "99999999999"])
def test_what_is_no_price_is_refused_beside_its_field_and_kept(
    jory: Client, examined: Job, typed: str
) -> None:
    answer = add(jory, examined, price=typed)
    assert answer.status_code == 422
    assert 'id="id_price_error"' in page_of(answer)
    assert "Without this it cannot wind on." in page_of(answer)
    assert not Line.objects.exists()


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("title", ""),
        ("title", "x" * 141),
        ("need", "urgent"),
        ("kind", "bribe"),
        ("months", "-1"),
        ("months", "soon"),
    ],
)
def test_a_line_with_something_wrong_is_refused(jory: Client, examined: Job, field: str, typed: str) -> None:
    assert add(jory, examined, **{field: typed}).status_code == 422
    assert not Line.objects.exists()


def test_another_jobs_finding_is_refused(jory: Client, cast: Cast, examined: Job) -> None:
    other = cast.post_finding(cast.job_at("examining", name="Ivo", email="ivo@example.org"))
    assert add(jory, examined, findings=[other.pk]).status_code == 422


@pytest.mark.both
def test_a_line_sent_twice_is_one_line(jory: Client, examined: Job) -> None:
    assert [add(jory, examined).status_code for _ in range(2)] == [303, 303]
    assert Line.objects.count() == 1


def test_a_line_is_changed(jory: Client, examined: Job) -> None:
    add(jory, examined)
    line = Line.objects.get()
    address = reverse("bench_quote_line", args=[examined.ref, line.pk])
    assert 'value="85.50"' in page_of(jory.get(address))
    jory.post(address, {**LINE, "price": "90"})
    line.refresh_from_db()
    assert line.price == 9000


def test_a_line_changed_to_something_wrong_stays_as_it_was(jory: Client, examined: Job) -> None:
    add(jory, examined)
    line = Line.objects.get()
    answer = jory.post(reverse("bench_quote_line", args=[examined.ref, line.pk]), {**LINE, "price": "dear"})
    line.refresh_from_db()
    assert (answer.status_code, line.price) == (422, 8550)


def test_a_line_is_taken_out_and_a_second_press_does_no_harm(jory: Client, examined: Job) -> None:
    add(jory, examined)
    address = reverse("bench_quote_line_out", args=[examined.ref, Line.objects.get().pk])
    assert [jory.post(address).status_code for _ in range(2)] == [303, 303]
    assert not Line.objects.exists()


def test_a_line_of_a_sent_quote_is_neither_changed_nor_taken_out(jory: Client, cast: Cast) -> None:
    job = cast.job_at("quoted")
    line = Line.objects.first()
    assert jory.post(reverse("bench_quote_line", args=[job.ref, line.pk]), LINE).status_code == 422
    assert jory.post(reverse("bench_quote_line_out", args=[job.ref, line.pk])).status_code == 422
    assert Line.objects.count() == 3


def test_post_home_and_the_examination_are_added_with_one_press_at_the_workshops_price(
    jory: Client, examined: Job
) -> None:
    for kind in ("carriage", "assessment"):
        jory.post(at(examined), {"do": "usual", "kind": kind})
        jory.post(at(examined), {"do": "usual", "kind": kind})
    assert list(Line.objects.values_list("kind", "price")) == [("carriage", 1200), ("assessment", 2500)]


@pytest.mark.parametrize(
    ("mode", "sums"),
    [
        (TaxMode.INCLUDED, ["£85.50", "£14.25"]),
        (TaxMode.ADDED, ["£85.50", "£17.10", "£102.60"]),
        (TaxMode.NONE, ["£85.50"]),
    ],
)
def test_the_sum_follows_the_workshops_tax_rule(
    jory: Client, examined: Job, mode: TaxMode, sums: list[str]
) -> None:
    Workshop.objects.update(tax_mode=mode)
    add(jory, examined)
    page = page_of(jory.get(at(examined)))
    for amount in sums:
        assert amount in page


def test_sending_makes_it_the_customers_move(jory: Client, examined: Job) -> None:
    add(jory, examined)
    assert send(jory, examined, note="Ring if in doubt.").url == reverse("bench_job", args=[examined.ref])
    examined.refresh_from_db()
    assert (examined.stage, examined.holder) == ("quoted", "customer")
    assert Quote.objects.get().note == "Ring if in doubt."


def test_sending_twice_sends_once(jory: Client, examined: Job) -> None:
    add(jory, examined)
    assert [send(jory, examined).status_code for _ in range(2)] == [303, 303]
    assert Entry.objects.filter(job=examined, kind="quote_sent").count() == 1


def test_a_quote_of_post_alone_is_refused_in_words(jory: Client, examined: Job) -> None:
    jory.post(at(examined), {"do": "usual", "kind": "carriage"})
    answer = send(jory, examined)
    assert answer.status_code == 422
    assert "A quote needs at least one line of work or part." in page_of(answer)


@pytest.mark.parametrize("day", ["", "soon", "2020-01-01"])
def test_a_last_day_that_is_none_or_past_is_refused_and_the_note_kept(
    jory: Client, examined: Job, day: str
) -> None:
    add(jory, examined)
    answer = send(jory, examined, valid_until=day, note="Ring if in doubt.")
    assert answer.status_code == 422
    assert 'id="id_valid_until_error"' in page_of(answer)
    assert "Ring if in doubt." in page_of(answer)


def test_the_preview_shows_the_lines_as_the_customer_reads_them_and_sends_nothing(
    jory: Client, examined: Job
) -> None:
    add(jory, examined)
    answer = jory.post(
        at(examined), {"do": "preview", "valid_until": in_days(28), "note": "Ring if in doubt."}
    )
    page = page_of(answer).split('id="preview-title"')[1]
    for words in ("What Orla reads", "Ring if in doubt.", "Free the winding gears", "Needed", "£85.50"):
        assert words in page
    assert Quote.objects.get().state == "draft"


def test_a_new_quote_begins_as_a_copy_and_leaves_the_old_one_open_until_it_is_sent(
    jory: Client, cast: Cast
) -> None:
    job = cast.job_at("quoted")
    assert "Begin with the copy" in page_of(jory.get(at(job)))
    jory.post(at(job), {"do": "begin"})
    assert sorted(Quote.objects.values_list("n", "state")) == [(1, "open"), (2, "draft")]
    send(jory, job)
    assert sorted(Quote.objects.values_list("n", "state")) == [(1, "replaced"), (2, "open")]


def test_a_quote_cannot_be_written_before_the_examination(jory: Client, cast: Cast) -> None:
    answer = add(jory, cast.job_at("arrived"))
    assert answer.status_code == 422
    assert not Quote.objects.exists()


def test_an_open_quote_is_taken_back_once(jory: Client, cast: Cast) -> None:
    job = cast.job_at("quoted")
    address = reverse("bench_quote_back", args=[job.ref])
    assert [jory.post(address).status_code for _ in range(2)] == [303, 422]
    job.refresh_from_db()
    assert job.stage == "examining"


def test_a_lapsed_quote_is_sent_again_once_at_the_same_prices(jory: Client, cast: Cast) -> None:
    job = cast.job_at("quoted")
    Quote.objects.update(valid_until="2020-01-01")
    lapse(Quote.objects.get())
    assert "The quote has lapsed." in page_of(jory.get(reverse("bench_job", args=[job.ref])))
    address = reverse("bench_quote_renew", args=[job.ref])
    assert [jory.post(address).status_code for _ in range(2)] == [303, 422]
    new = job.quotes.get(state="open")
    assert list(new.lines.values_list("price", flat=True)) == [8500, 4200, 1200]
