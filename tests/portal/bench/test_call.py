"""An answer by telephone."""

from typing import Any

import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from jobs.actions import quote as quote_actions
from jobs.actions.quote import lapse
from jobs.models import Choice, Decision, Job, Quote
from tests.cast import Cast
from tests.jobs.actions.test_trying import parts, send_try
from tests.once import made_once
from tests.portal.bench.lines import error_at

pytestmark = pytest.mark.usefixtures("contexts")


@pytest.fixture
def quoted(cast: Cast) -> Job:
    return made_once(cast.job_at, "quoted")


def ring(browser: Client, job: Job, *answers: str, **said: Any) -> HttpResponse:
    quote = job.quotes.order_by("n").first()
    lines = [line for line in quote.lines.all() if not line.is_fixed]
    chosen = {f"line{line.pk}": answer for line, answer in zip(lines, answers, strict=True)}
    told = {"shown_hash": quote.shown_hash, "name": "Orla Fennimore", **chosen, **said}
    return browser.post(reverse("bench_call", args=[job.ref]), told)


def test_the_page_reads_the_quote_line_by_line_with_its_prices(jory: Client, quoted: Job) -> None:
    page = jory.get(reverse("bench_call", args=[quoted.ref])).content.decode()
    for words in ("Free the winding gears", "£85", "Insured post home", "£12", "01632 960142"):
        assert words in page


def test_an_answer_is_kept_with_who_said_it_and_who_noted_it(jory: Client, quoted: Job) -> None:
    assert ring(jory, quoted, "yes", "no").status_code == 303
    decision = Decision.objects.get()
    assert (decision.way, decision.name, decision.noted_by) == ("telephone", "Orla Fennimore", "Jory Pell")
    assert decision.gross == 9700
    assert (
        decision.sentence == "Orla Fennimore said yes by telephone to: Free the winding gears. Together £97."
    )


def test_no_to_everything_ends_the_job(jory: Client, quoted: Job) -> None:
    ring(jory, quoted, "no", "no")
    quoted.refresh_from_db()
    assert quoted.stage == "withdrawn"


def test_noted_twice_it_is_one_answer(jory: Client, quoted: Job) -> None:
    assert [ring(jory, quoted, "yes", "no").status_code for _ in range(2)] == [303, 303]
    assert Decision.objects.count() == 1


@pytest.mark.parametrize("said", [{"name": ""}, {"shown_hash": ""}])
def test_without_a_name_or_the_quote_that_was_read_it_is_refused(
    jory: Client, quoted: Job, said: dict[str, str]
) -> None:
    assert ring(jory, quoted, "yes", "no", **said).status_code == 422
    assert not Decision.objects.exists()


def test_a_line_without_an_answer_is_refused(jory: Client, quoted: Job) -> None:
    assert ring(jory, quoted, "yes", "").status_code == 422


def test_a_quote_that_was_not_the_one_read_out_is_refused(jory: Client, quoted: Job) -> None:
    answer = ring(jory, quoted, "yes", "no", shown_hash="0" * 64)
    assert answer.status_code == 422
    assert "Another quote stands now." in answer.content.decode()


def test_a_lapsed_quote_has_to_be_sent_again_first(jory: Client, quoted: Job) -> None:
    Quote.objects.update(valid_until="2020-01-01")
    lapse(Quote.objects.get())
    answer = ring(jory, quoted, "yes", "no")
    assert answer.status_code == 422
    assert "This quote has lapsed." in answer.content.decode()


def test_without_a_quote_there_is_nothing_to_note(jory: Client, examined: Job) -> None:
    answer = jory.get(reverse("bench_call", args=[examined.ref]))
    assert answer.url == reverse("bench_job", args=[examined.ref])


@pytest.fixture
def tried(cast: Cast) -> Quote:
    """A haze to try at £38, with a lens group for £78 if it stays, or to leave it; insured post for £12."""
    return send_try(cast)


def say(browser: Client, quote: Quote, **said: Any) -> HttpResponse:
    told = {"shown_hash": quote.shown_hash, "name": "Orla Fennimore", **said}
    return browser.post(reverse("bench_call", args=[quote.job.ref]), told)


def branch(quote: Quote) -> dict[str, Any]:
    """Yes to the try, and to the lens group if it comes to that."""
    line, group = parts(quote)
    return {f"line{line.pk}": "yes", f"branch{group.outcome_id}": group.pk}


def test_what_shall_follow_a_try_is_asked_and_nothing_that_costs_is_chosen_beforehand(
    jory: Client, tried: Quote
) -> None:
    answer = jory.get(reverse("bench_call", args=[tried.job.ref]))
    page = answer.content.decode()
    for words in ("If so: The glass has gone", "Fit a sound lens group, £78", "Stop and ask", "14 of 20"):
        assert words in page
    _line, group = parts(tried)
    assert answer.context["form"][f"branch{group.outcome_id}"].value() == ""


def test_branch_and_ceiling_are_kept_and_named_in_the_evidence(jory: Client, tried: Quote) -> None:
    say(jory, tried, **branch(tried), ceiling="150")
    decision = Decision.objects.get()
    line, group = parts(tried)
    assert set(decision.choices.filter(yes=True).values_list("line", flat=True)) >= {line.pk, group.pk}
    assert (decision.lowest, decision.highest, decision.ceiling) == (5000, 12800, 15000)
    assert decision.sentence == (
        "Orla Fennimore said yes by telephone to: Clean the haze. "
        "If it turns out “The glass has gone”: Fit a sound lens group, £78. "
        "It comes to £50 at the least, £73.40 on average, £128 at the most. "
        "Their ceiling is £150: past it, stop and ask."
    )


def test_without_a_branch_the_evidence_says_that_we_ask(jory: Client, tried: Quote) -> None:
    line, _group = parts(tried)
    say(jory, tried, **{f"line{line.pk}": "yes"})
    assert Decision.objects.get().sentence == (
        "Orla Fennimore said yes by telephone to: Clean the haze. "
        "If it turns out “The glass has gone”: stop and ask. Together £50."
    )


def test_a_branch_of_a_line_that_they_do_not_want_counts_for_nothing(jory: Client, tried: Quote) -> None:
    line, group = parts(tried)
    say(jory, tried, **{**branch(tried), f"line{line.pk}": "no"})
    assert (
        Decision.objects.get().sentence == "Orla Fennimore said by telephone: no work; it goes back as it is."
    )
    assert not Choice.objects.filter(line=group, yes=True).exists()


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("49.99", "That is less than it can come to at the least."),
        ("-1", "less than nothing"),
        ("plenty", "not an amount of money"),
        ("99999999999", "more than any repair costs"),
    ],
)
def test_a_ceiling_that_cannot_be_is_said_beside_its_field(
    jory: Client, tried: Quote, typed: str, words: str
) -> None:
    answer = say(jory, tried, **branch(tried), ceiling=typed)
    assert answer.status_code == 422
    assert words in error_at(answer, "ceiling")
    assert not Decision.objects.exists()


def test_a_branch_that_is_none_is_refused(jory: Client, tried: Quote) -> None:
    line, group = parts(tried)
    answer = say(jory, tried, **{f"line{line.pk}": "yes", f"branch{group.outcome_id}": line.pk})
    assert answer.status_code == 422
    assert not Decision.objects.exists()


def test_it_is_worked_out_to_be_read_out_before_anything_is_noted(jory: Client, tried: Quote) -> None:
    answer = say(jory, tried, **branch(tried), do="sums")
    page = answer.content.decode()
    assert answer.status_code == 200
    for words in ("At the least", "£50", "£73.40", "£128"):
        assert words in page
    assert not Decision.objects.exists()


def test_one_of_several_is_one_question(jory: Client, cast: Cast) -> None:
    job = cast.job_at("examining")
    draft = quote_actions.draft_quote(job)
    for title, price in (("Cover in black", 4000), ("Cover in brown", 5000)):
        line = quote_actions.LineDraft("work", "optional", title, price, either=1)
        quote_actions.put_line(draft, line)
    sent = quote_actions.send_quote(draft, cast.technician)
    page = jory.get(reverse("bench_call", args=[job.ref])).content.decode()
    assert page.count('name="either1"') == 3
    assert "None of these" in page
    say(jory, sent, either1=sent.lines.get(title="Cover in brown").pk)
    assert Decision.objects.get().gross == 5000


def test_a_line_without_the_other_one_that_it_needs_is_said_beside_it(jory: Client, cast: Cast) -> None:
    job = cast.job_at("examining")
    draft = quote_actions.draft_quote(job)
    opened = quote_actions.put_line(draft, quote_actions.LineDraft("work", "needed", "Open the lens", 4000))
    needs = quote_actions.LineDraft("work", "optional", "Clean the haze", 3800, requires=[opened])
    line = quote_actions.put_line(draft, needs)
    sent = quote_actions.send_quote(draft, cast.technician)
    answer = say(jory, sent, **{f"line{opened.pk}": "no", f"line{line.pk}": "yes"})
    assert answer.status_code == 422
    assert "“Clean the haze” needs “Open the lens” as well." in error_at(answer, f"line{line.pk}")
    assert not Decision.objects.exists()


def test_no_to_one_thing_more_leaves_what_is_agreed_as_it_is(jory: Client, cast: Cast) -> None:
    job = cast.job_at("in_work")
    draft = quote_actions.draft_quote(job)
    line = quote_actions.put_line(draft, quote_actions.LineDraft("part", "advised", "A new spring", 900))
    sent = quote_actions.send_quote(draft, cast.technician)
    say(jory, sent, **{f"line{line.pk}": "no"})
    said = Decision.objects.get(quote=sent)
    assert said.sentence == "Orla Fennimore said no to this by telephone; what was agreed before goes on."
    job.refresh_from_db()
    assert (job.stage, said.gross) == ("in_work", 0)
