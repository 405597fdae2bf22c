"""What is offered next, at every stage."""

import pytest
from django.urls import reverse

from jobs import stages
from jobs.actions.asking import ask
from jobs.actions.finding import answer_story
from jobs.actions.judging import judge_claim
from jobs.actions.quote import Sending, lapse
from jobs.actions.warranting import open_claim
from jobs.actor import Actor
from jobs.models import Job, Quote
from jobs.words import Stage
from portal.bench.steps import next_step, other_steps, seen_from_the_bench
from tests.cast import Cast
from tests.once import made_once


def seen(job: Job) -> Job:
    return seen_from_the_bench().get(pk=job.pk)


@pytest.mark.parametrize(
    ("stage", "words"),
    [
        ("expected", "Note what came"),
        ("arrived", "Start the examination"),
        ("examining", "Post a finding"),
        ("quoted", "Note an answer by telephone"),
        ("agreed", "Start the work"),
        ("awaiting_part", "The part came"),
        ("in_work", "Start the testing"),
        ("proving", "Note the tests"),
        ("ready", "Note the payment"),
        ("returned", "It has been delivered"),
        ("withdrawn", "Note the payment"),
    ],
)
def test_every_stage_has_its_next_step(cast: Cast, stage: str, words: str) -> None:
    step = next_step(seen(made_once(cast.job_at, stage)))
    assert step
    assert step.words == words


@pytest.mark.parametrize("stage", ["ready", "withdrawn"])
def test_what_is_paid_goes_home(cast: Cast, stage: str) -> None:
    job = made_once(cast.job_at, stage)
    cast.pay(job)
    assert next_step(seen(job)).words == "Send it home"


def test_what_is_collected_is_handed_over_paid_or_not(cast: Cast) -> None:
    assert next_step(seen(cast.job_at("ready", return_by="collect"))).words == "Hand it over"


def test_agreed_work_waits_for_its_deposit(cast: Cast) -> None:
    job = cast.job_at("examining")
    cast.agree(cast.send_quote(job, sending=Sending(deposit=3000)))
    assert next_step(seen(job)).words == "Note the payment"
    cast.pay(job, 3000, kind="deposit")
    assert next_step(seen(job)).words == "Start the work"


def test_what_is_over_has_none(cast: Cast) -> None:
    assert next_step(seen(cast.home())) is None


def test_an_examination_goes_from_finding_to_answer_to_quote(cast: Cast) -> None:
    job = cast.job_at("examining")
    cast.post_finding(job)
    assert next_step(seen(job)).words == "Answer the story"
    answer_story(job, "No.", cast.technician)
    assert next_step(seen(job)).words == "Write the quote"


def test_a_question_comes_before_everything(cast: Cast) -> None:
    job = cast.job_at("proving")
    question = ask(job, "Is it done?", Actor.customer(job.customer), "once-1")
    job = seen(job)
    assert next_step(job).address == reverse("bench_answer", args=[job.ref, question.pk])
    assert other_steps(job)[0].words == "Note the tests"


def test_a_claim_is_decided_before_anything_is_quoted(cast: Cast) -> None:
    home = cast.home()
    claim = cast.job_at("examining", open_claim(home, "It slips again.", Actor.customer(home.customer)))
    cast.post_finding(claim)
    answer_story(claim, "Yes.", cast.technician)
    assert next_step(seen(claim)).words == "Decide the claim"
    assert "There is nothing to mend" not in [step.words for step in other_steps(seen(claim))]
    judge_claim(claim, "not_covered", "other", None, "It had a knock.", cast.technician)
    assert next_step(seen(claim)).words == "Write the quote"
    assert "There is nothing to mend" in [step.words for step in other_steps(seen(claim))]


def test_a_lapsed_quote_is_offered_to_be_sent_again(cast: Cast) -> None:
    job = cast.job_at("quoted")
    quote = job.quotes.get()
    Quote.objects.filter(pk=quote.pk).update(valid_until="2020-01-01")
    lapse(quote)
    assert next_step(seen(job)).words == "Send the same quote again"


def test_a_collected_item_is_handed_over_not_posted(cast: Cast) -> None:
    assert next_step(seen(cast.job_at("ready", return_by="collect"))).words == "Hand it over"


@pytest.mark.parametrize("stage", list(Stage))
def test_ending_without_repair_is_offered_exactly_where_it_is_allowed(cast: Cast, stage: Stage) -> None:
    words = [step.words for step in other_steps(seen(made_once(cast.job_at, stage)))]
    assert ("End it without repair" in words) == (stage in stages.MAY_WITHDRAW)


@pytest.mark.parametrize("stage", list(Stage))
def test_no_step_is_offered_twice(cast: Cast, stage: Stage) -> None:
    job = seen(made_once(cast.job_at, stage))
    offered = [step for step in (next_step(job), *other_steps(job)) if step]
    assert len({step.address for step in offered}) == len(offered)
