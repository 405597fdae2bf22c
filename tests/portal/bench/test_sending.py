"""What goes with a quote when it is sent, supplementary quotes, and a draft that is thrown away."""

from datetime import timedelta
from typing import Any

import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from jobs.evidence import content
from jobs.models import Job, Line, Quote, Workshop
from jobs.words import TaxMode
from tests.cast import Cast
from tests.portal.bench.lines import TRY, add, at, error_at, page_of


def send(browser: Client, job: Job, **said: Any) -> HttpResponse:
    day = (timezone.localdate() + timedelta(days=28)).isoformat()
    return browser.post(at(job), {"do": "send", "valid_until": day, "note": "", **said})


def stage(job: Job) -> tuple[str, str]:
    job.refresh_from_db()
    return job.stage, job.holder


def test_a_deposit_and_how_it_goes_back_are_sent_with_it(jory: Client, examined: Job) -> None:
    add(jory, examined)
    send(jory, examined, deposit="20", if_declined="apart", if_declined_note="In two bags.")
    told = content(Quote.objects.get())
    assert told["deposit"] == 2000
    assert told["if_declined"] == {"as": "apart", "note": "In two bags."}


def test_the_usual_deposit_is_the_workshops_share_of_what_is_needed(jory: Client, examined: Job) -> None:
    Workshop.objects.update(deposit_bp=2500, tax_mode=TaxMode.ADDED)
    add(jory, examined)
    add(jory, examined, title="New covering", need="optional", price="42")
    page = jory.get(at(examined)).text
    assert 'name="deposit" value="11.40"' in page  # a quarter of £38 and its tax


def test_the_preview_shows_the_try_the_deposit_and_how_it_goes_back(jory: Client, examined: Job) -> None:
    add(jory, examined, **TRY)
    day = (timezone.localdate() + timedelta(days=28)).isoformat()
    said = {"deposit": "20", "if_declined": "apart", "if_declined_note": "In two bags.", "note": "Ring me."}
    answer = jory.post(at(examined), {"do": "preview", "valid_until": day, **said})
    page = page_of(answer).split('id="preview-title"')[1]
    for words in (
        "It wipes off",
        "usually",
        "Fit a sound lens group",
        "we ask for £20 of it",
        "In two bags.",
        "Ring me.",
    ):
        assert words in page
    assert Quote.objects.values_list("note", "deposit").get() == ("", 0)


@pytest.mark.parametrize(
    ("said", "field", "words"),
    [
        ({"deposit": "38.01"}, "deposit", "That is more than all of it comes to, £38."),
        ({"deposit": "-5"}, "deposit", "less than nothing"),
        ({"deposit": "1e3"}, "deposit", "not an amount of money"),
        ({"if_declined": "burnt"}, "if_declined", "burnt"),
        ({"if_declined_note": "x" * 301}, "if_declined_note", "300"),
    ],
)
def test_what_cannot_be_is_said_beside_its_field_and_nothing_is_sent(
    jory: Client, examined: Job, said: dict[str, str], field: str, words: str
) -> None:
    add(jory, examined)
    answer = send(jory, examined, note="Ring if in doubt.", **said)
    assert answer.status_code == 422
    assert words in error_at(answer, field)
    assert "Ring if in doubt." in page_of(answer)
    assert Quote.objects.get().state == "draft"


def test_a_draft_is_thrown_away_once(jory: Client, examined: Job) -> None:
    add(jory, examined)
    address = reverse("bench_quote_drop", args=[examined.ref])
    assert [jory.post(address).status_code for _ in range(2)] == [303, 303]
    assert not Quote.objects.exists()
    assert stage(examined) == ("examining", "workshop")


def test_a_quote_that_was_sent_is_not_thrown_away(jory: Client, cast: Cast) -> None:
    job = cast.job_at("quoted")
    jory.post(reverse("bench_quote_drop", args=[job.ref]))
    assert Quote.objects.get().state == "open"


def test_a_draft_whose_quote_was_agreed_meanwhile_is_only_thrown_away(jory: Client, cast: Cast) -> None:
    job = cast.job_at("quoted")
    jory.post(at(job), {"do": "begin"})
    cast.agree(Quote.objects.get(state="open"))
    assert "has agreed the quote that this draft was to replace" in page_of(jory.get(at(job)))
    assert [add(jory, job).status_code, send(jory, job).status_code] == [422, 422]
    assert Quote.objects.get(state="draft").lines.count() == 3
    jory.post(reverse("bench_quote_drop", args=[job.ref]))
    assert "Adds to quote 1; what is agreed goes on." in page_of(jory.get(at(job)))


def test_the_page_says_what_they_will_be_told_has_changed(jory: Client, cast: Cast) -> None:
    job = cast.job_at("quoted")
    jory.post(at(job), {"do": "begin"})
    assert "is told has changed" not in page_of(jory.get(at(job)))
    Line.objects.filter(quote__state="draft", title="Free the winding gears").update(price=9900)
    page = page_of(jory.get(at(job)))
    assert "What Orla is told has changed since quote 1" in page
    assert "£85" in page.split("is told has changed")[1]
    assert "£99" in page.split("is told has changed")[1]


def test_alternatives_that_need_each_other_are_not_sent(jory: Client, examined: Job) -> None:
    add(jory, examined, title="Black")
    add(jory, examined, title="Brown", either=Line.objects.get().pk)
    black, brown = Line.objects.order_by("position")
    brown.requires.add(black)
    answer = send(jory, examined)
    assert answer.status_code == 422
    assert "only one of them can be chosen" in page_of(answer)


class TestSupplementary:
    """Work is agreed, and more shows."""

    def test_it_says_what_it_adds_to(self, jory: Client, cast: Cast) -> None:
        page = page_of(jory.get(at(cast.job_at("in_work"))))
        assert "Adds to quote 1; what is agreed goes on." in page
        assert "Begin with the copy" not in page

    def test_it_asks_neither_for_a_deposit_nor_how_it_goes_back(self, jory: Client, cast: Cast) -> None:
        job = cast.job_at("in_work")
        add(jory, job)
        page = page_of(jory.get(at(job)))
        assert 'name="work_waits"' in page
        assert 'name="deposit"' not in page
        assert 'name="if_declined"' not in page

    def test_neither_post_home_that_was_agreed_nor_an_examination_is_offered(
        self, jory: Client, cast: Cast
    ) -> None:
        page = page_of(jory.get(at(cast.job_at("in_work"))))
        assert "Add: Insured post home" not in page
        assert "Add: The examination" not in page

    def test_only_findings_that_no_agreed_line_answers_are_offered(self, jory: Client, cast: Cast) -> None:
        job = cast.job_at("in_work")
        cast.post_finding(job, "The seals are crumbs", mechanism="seals")
        cast.post_finding(job, "The shutter is sound", bearing="clears")
        offered = page_of(jory.get(at(job))).split('class="to-quote"')[1].split("</ul>")[0]
        assert "The seals are crumbs" in offered
        assert "A screw had dropped among the gears" not in offered
        assert "The shutter is sound" not in offered

    def test_the_work_goes_on(self, jory: Client, cast: Cast) -> None:
        job = cast.job_at("in_work")
        add(jory, job)
        send(jory, job)
        assert stage(job) == ("in_work", "workshop")
        page = page_of(jory.get(reverse("bench_job", args=[job.ref])))
        assert "Sent. What is agreed goes on." in page
        assert "Orla owes an answer to one thing more." in page

    def test_or_it_waits_for_the_answer(self, jory: Client, cast: Cast) -> None:
        job = cast.job_at("in_work")
        add(jory, job)
        send(jory, job, work_waits="on")
        assert stage(job) == ("in_work", "customer")
        page = page_of(jory.get(reverse("bench_job", args=[job.ref])))
        assert "Sent. It is Orla’s move." in page
        assert "The work waits for the answer." in page
        assert page.index("Quote 2: Waits for an answer") < page.index("Quote 1: Answered")

    def test_a_first_quote_never_makes_work_wait(self, jory: Client, examined: Job) -> None:
        add(jory, examined)
        send(jory, examined, work_waits="on")
        assert not Quote.objects.get().work_waits
