"""A warranty begins, is called on, and goes on from there."""

from datetime import date, timedelta
from typing import Any

import pytest
from dateutil.relativedelta import relativedelta
from django.utils import timezone

from jobs.actions import reminding, warranting, working
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.library import get
from jobs.library.facts import examples
from jobs.models import Job, Warranty, Workshop
from jobs.promises import promises_of
from jobs.words import Stage
from tests.cast import Cast
from tests.jobs.actions.claims import bring_home, examined, first_cover, judge, mended_again, open_claim
from tests.once import made_once


@pytest.fixture
def job(cast: Cast) -> Job:
    return made_once(cast.home)


def claim(job: Job, story: str = "The lever slips again.") -> Job:
    return warranting.open_claim(job, story, Actor.customer(job.customer))


def test_agreed_work_is_covered_for_its_months_from_the_day_it_was_home(job: Job) -> None:
    cover = job.warranty.covers.get()
    assert (cover.what, cover.mechanism) == ("Free the winding gears", "transport")
    assert cover.until == timezone.localdate() + relativedelta(months=12)


def test_what_we_told_about_and_left_is_named_as_not_covered(cast: Cast) -> None:
    job = cast.job_at(Stage.IN_WORK)
    cast.post_finding(
        job, "The covering has small bumps", mechanism="covering", effect="looks", bearing="separate"
    )
    job = cast.job_at(Stage.RETURNED, job=job) if job.stage == Stage.RETURNED else job
    working.start_proving(job, cast.technician)
    working.prove(job, [working.Tested("transport", True)], cast.technician)
    cast.send_back(job)
    working.deliver(job, cast.technician)
    left = job.warranty.covers.get(until__isnull=True)
    assert (left.what, left.mechanism) == ("The covering has small bumps", "covering")
    assert left.why_not


def test_a_claim_is_a_new_job_linked_to_the_old_one(job: Job) -> None:
    opened = claim(job)
    assert (opened.claim_on, opened.item, opened.stage) == (job, job.item, Stage.EXPECTED)


def test_both_journals_tell_of_the_claim(job: Job) -> None:
    opened = claim(job)
    assert job.entries.last().data["claim"] == opened.ref
    assert opened.entries.get().data["claim_on"] == job.ref


def test_a_second_claim_waits_for_the_first(job: Job) -> None:
    first = claim(job)
    with pytest.raises(Refused, match=first.shown_ref):
        claim(job)


def test_without_a_warranty_there_is_nothing_to_claim_on(cast: Cast) -> None:
    with pytest.raises(Refused):
        claim(cast.job_at(Stage.READY))


def test_a_claim_needs_a_story(job: Job) -> None:
    with pytest.raises(Refused):
        claim(job, "  ")


def set_rule(cast: Cast, rule: str, months: int = 3) -> None:
    Workshop.objects.update(again_rule=rule, again_months=months)


def let_pass(job: Job, months_left: int) -> date:
    """As if so many months of the first warranty were left; returns its last day."""
    until = timezone.localdate() + relativedelta(months=months_left)
    job.warranty.covers.filter(until__isnull=False).update(until=until)
    return until


@pytest.mark.parametrize(("rule", "months"), [("rest", 1), ("minimum", 3), ("anew", 12)])
def test_what_was_mended_again_runs_as_the_workshops_rule_says(
    cast: Cast, job: Job, rule: str, months: int
) -> None:
    set_rule(cast, rule)
    let_pass(job, 1)
    cover = mended_again(cast, job).warranty.covers.get()
    assert cover.until == timezone.localdate() + relativedelta(months=months)
    assert cover.goes_on_from == first_cover(job)


def test_a_rule_never_takes_time_away(cast: Cast, job: Job) -> None:
    set_rule(cast, "minimum", 2)
    until = let_pass(job, 7)
    assert mended_again(cast, job).warranty.covers.get().until == until


def test_the_line_and_so_its_findings_go_along(cast: Cast, job: Job) -> None:
    assert mended_again(cast, job).warranty.covers.get().line == first_cover(job).line


def test_what_still_runs_stands_on_beside_what_was_mended_again(cast: Cast, job: Job) -> None:
    until = let_pass(job, 2)
    job.warranty.covers.create(what="Clear lens", mechanism="lens", until=until, months=3)
    job.warranty.covers.create(what="New cell", mechanism="meter", until=timezone.localdate() - timedelta(1))
    covers = mended_again(cast, job).warranty.covers.all()
    assert [(each.what, each.until, bool(each.goes_on_from)) for each in covers] == [
        ("Free the winding gears", timezone.localdate() + relativedelta(months=3), True),
        ("Clear lens", until, False),
    ]


def test_without_a_chosen_cover_the_findings_say_what_was_mended_again(cast: Cast, job: Job) -> None:
    let_pass(job, 1)
    claim = examined(cast, job, mechanism="transport")
    judge(cast, claim, "goodwill", "other")
    cover = bring_home(cast, claim).warranty.covers.get()
    assert cover.goes_on_from == first_cover(job)
    assert cover.until == timezone.localdate() + relativedelta(months=3)


def test_what_was_mended_again_is_not_named_as_told_and_left(cast: Cast, job: Job) -> None:
    claim = examined(cast, job, mechanism="transport")
    judge(cast, claim, cover=first_cover(job))
    assert not bring_home(cast, claim).warranty.covers.filter(until__isnull=True).exists()


def test_what_had_ended_and_was_mended_all_the_same_runs_as_the_rule_says(cast: Cast, job: Job) -> None:
    job.warranty.covers.update(until=timezone.localdate() - timedelta(days=5))
    cover = mended_again(cast, job, judgement="goodwill").warranty.covers.get()
    assert cover.until == timezone.localdate() + relativedelta(months=3)


def test_what_had_ended_and_gets_no_more_time_begins_no_warranty(cast: Cast, job: Job) -> None:
    set_rule(cast, "rest")
    job.warranty.covers.update(until=timezone.localdate() - timedelta(days=5))
    claim = mended_again(cast, job, judgement="goodwill")
    assert not Warranty.objects.filter(job=claim).exists()


def test_mended_twice_it_goes_on_from_where_it_stood(cast: Cast, job: Job) -> None:
    set_rule(cast, "minimum", 6)
    let_pass(job, 1)
    once = mended_again(cast, job)
    twice = mended_again(cast, job).warranty.covers.get()
    assert twice.goes_on_from == once.warranty.covers.get()
    assert first_cover(job).as_it_stands() == twice


def test_who_asked_for_a_letter_before_the_end_asks_for_it_still(cast: Cast, job: Job) -> None:
    reminding.want_reminder(job.warranty, True)
    assert mended_again(cast, job).warranty.wants_reminder


def test_what_was_told_and_left_keeps_which_fault_it_is(cast: Cast) -> None:
    job = cast.job_at(Stage.QUOTED)
    cast.post_finding(
        job,
        "Haze inside",
        mechanism="lens",
        explanation="lens/haze-inside",
        facts=examples(get("lens/haze-inside").fields),
    )
    cast.agree(job.quotes.open().get())
    for step in (Stage.IN_WORK, Stage.PROVING, Stage.READY, Stage.RETURNED):
        cast._road(step)[-1](job)
    cast.home(job)
    assert job.warranty.covers.get(until__isnull=True).explanation == "lens/haze-inside"


def test_a_claim_remembers_what_its_customer_was_told_it_rests_on(job: Job) -> None:
    assert open_claim(job, cover=first_cover(job)).claim_cover == first_cover(job)


def test_a_claim_cannot_rest_on_another_warranty(cast: Cast, job: Job) -> None:
    elsewhere = first_cover(cast.home(cast.job_at(Stage.RETURNED, cast.another_book())))
    with pytest.raises(Refused) as refused:
        open_claim(job, cover=elsewhere)
    assert refused.value.field == "cover"
    assert not job.claims.exists()


# --- promises ------------------------------------------------------------------------------------------------------


def test_a_promise_knows_the_faults_that_its_lines_findings_name(cast: Cast) -> None:
    job = cast.job_at(Stage.EXAMINING)
    key = "transport/lever-stops-half-way"
    cast.post_finding(job, "It stops", explanation=key, facts=examples(get(key).fields))
    cast.agree(cast.send_quote(job))
    for step in (Stage.IN_WORK, Stage.PROVING, Stage.READY, Stage.RETURNED):
        cast._road(step)[-1](job)
    cast.home(job)
    [promise] = promises_of(job.warranty)
    assert promise.explanations == {key}
    assert (promise.what, promise.mechanism) == ("Free the winding gears", "transport")


def test_the_first_warranty_promises_as_long_as_what_was_mended_again_runs(cast: Cast, job: Job) -> None:
    let_pass(job, 1)
    mended_again(cast, job)
    [promise] = promises_of(job.warranty)
    assert promise.until == timezone.localdate() + relativedelta(months=3)


def test_a_warrantys_promises_take_the_same_queries_however_many(
    cast: Cast, job: Job, django_assert_num_queries: Any
) -> None:
    for n in range(5):
        job.warranty.covers.create(what=f"More {n}", line=first_cover(job).line, until=timezone.localdate())
    with django_assert_num_queries(3):
        promises_of(job.warranty)
