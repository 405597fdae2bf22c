"""A claim is decided at the bench: what is suggested, what is asked for, and where it goes from there."""

from datetime import timedelta
from typing import Any

import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from jobs.models import Cover, Job, Judged
from portal.bench.claim import suggestion
from tests.cast import Cast
from tests.jobs.actions.claims import examined, first_cover, judge
from tests.once import made_once
from tests.portal.customer.pages import chosen_in, words_of

REASON = "The rim is bent: it has had a knock."


@pytest.fixture
def home(cast: Cast) -> Job:
    return made_once(cast.home)


@pytest.fixture
def claim(cast: Cast, home: Job) -> Job:
    return examined(cast, home, mechanism="transport")


def decide(browser: Client, claim: Job, **said: Any) -> HttpResponse:
    told = {"judgement": "not_covered", "again": "other", "cover": "none", "because": REASON, **said}
    return browser.post(reverse("bench_claim", args=[claim.ref]), told)


def page(browser: Client, claim: Job) -> str:
    return browser.get(reverse("bench_claim", args=[claim.ref])).text


def test_the_page_shows_the_story_what_was_found_and_the_first_job(
    jory: Client, home: Job, claim: Job
) -> None:
    words = words_of(page(jory, claim))
    assert "The lever slips again." in words
    assert "It slips once more (Film transport)" in words
    assert home.shown_ref in words


def test_the_same_mechanism_is_suggested_as_the_same_again(jory: Client, home: Job, claim: Job) -> None:
    shown = page(jory, claim)
    assert chosen_in(shown, "again") == "same"
    assert chosen_in(shown, "cover") == str(first_cover(home).pk)
    assert chosen_in(shown, "judgement") == "covered"


def test_another_mechanism_is_suggested_as_something_else_and_decides_nothing(cast: Cast, home: Job) -> None:
    found = suggestion(examined(cast, home, mechanism="lens"), list(home.warranty.covers.all()))
    assert (found.again, found.cover, found.judgement) == ("other", "none", None)


def test_a_cover_that_had_ended_is_suggested_but_not_that_it_is_covered(
    cast: Cast, home: Job, claim: Job
) -> None:
    home.warranty.covers.update(until=timezone.localdate() - timedelta(days=1))
    found = suggestion(claim, list(home.warranty.covers.all()))
    assert (found.again, found.cover, found.judgement) == ("same", str(first_cover(home).pk), None)


def test_what_they_thought_it_rests_on_comes_before_another_cover_of_that_mechanism(
    home: Job, claim: Job
) -> None:
    second = home.warranty.covers.create(
        what="New spring", mechanism="transport", until=first_cover(home).until
    )
    claim.claim_cover = second
    assert suggestion(claim, list(home.warranty.covers.all())).cover == str(second.pk)


def test_only_ruled_out_suspicions_suggest_that_nothing_is_wrong(cast: Cast, home: Job) -> None:
    claim = examined(
        cast, home, mechanism="transport", certainty="ruled_out", bearing="rules_out", effect="know"
    )
    assert suggestion(claim, list(home.warranty.covers.all())).again == "nothing"


def test_without_a_finding_nothing_is_suggested(jory: Client, cast: Cast, home: Job) -> None:
    shown = page(jory, examined(cast, home))
    assert [chosen_in(shown, name) for name in ("again", "cover", "judgement")] == [None] * 3
    assert "Post what was found first" in shown


def test_covered_puts_it_on_the_bench(jory: Client, home: Job, claim: Job) -> None:
    said = {"judgement": "covered", "again": "same", "cover": first_cover(home).pk, "because": ""}
    assert decide(jory, claim, **said).status_code == 303
    claim.refresh_from_db()
    assert claim.stage == "agreed"
    assert Judged.objects.get().cover == first_cover(home)


def test_not_covered_leads_back_to_the_job_with_the_quote_to_write(jory: Client, claim: Job) -> None:
    answer = decide(jory, claim)
    assert answer.status_code == 303
    assert "Now the quote can be written." in jory.get(answer["Location"]).text


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"because": ""}, "Say why, in a sentence. The customer reads it."),
        ({"because": "x" * 601}, "That is too long: 600 letters are the most."),
        ({"judgement": ""}, "Choose what you decide."),
        ({"again": ""}, "Choose one. For ourselves: it is how we count comebacks."),
        ({"cover": ""}, "Choose one, or “None of these”."),
        ({"cover": "999999"}, "That is no part of the warranty that this claim is on."),
        ({"judgement": "covered"}, "Choose which part of the warranty it is about."),
        ({"judgement": "perhaps"}, "perhaps is not one of the available choices."),
    ],
)
def test_what_is_wrong_is_said_what_was_typed_is_kept_and_nothing_changes(
    jory: Client, claim: Job, said: dict[str, str], sentence: str
) -> None:
    answer = decide(jory, claim, **said)
    assert answer.status_code == 422
    assert sentence in words_of(answer.text)
    assert said.get("because", REASON) in words_of(answer.text)
    claim.refresh_from_db()
    assert (claim.stage, Judged.objects.count()) == ("examining", 0)


def test_the_cover_of_somebody_elses_warranty_is_refused(jory: Client, cast: Cast, claim: Job) -> None:
    cast.home(cast.job_at("returned", cast.another_book()))
    foreign = Cover.objects.exclude(warranty__job=claim.claim_on_id).filter(until__isnull=False)[0]
    assert decide(jory, claim, cover=foreign.pk).status_code == 422
    assert not Judged.objects.exists()


def test_once_decided_the_page_says_by_whom_and_offers_no_form(jory: Client, cast: Cast, claim: Job) -> None:
    judge(cast, claim, "not_covered", "other", None, REASON)
    words = words_of(page(jory, claim))
    assert "Jory Pell decided on" in words
    assert "Decide it so" not in words
    assert decide(jory, claim).status_code == 422
    assert Judged.objects.count() == 1


def test_a_job_that_is_no_claim_has_nothing_to_decide(jory: Client, cast: Cast) -> None:
    job = cast.job_at("examining")
    assert "This job is not a warranty claim." in page(jory, job)
    answer = decide(jory, job)
    assert answer.status_code == 422
    assert "This job is not a warranty claim." in answer.text


def test_a_technician_reads_people_as_words_not_as_markup(jory: Client, cast: Cast, home: Job) -> None:
    claim = examined(cast, home, mechanism="transport")
    Job.objects.filter(pk=claim.pk).update(story="<b>It</b> slips")
    assert "&lt;b&gt;It&lt;/b&gt; slips" in page(jory, claim)


def test_the_bench_and_the_office_link_a_claim_and_its_first_job_both_ways(
    cast: Cast, as_staff: Any, home: Job, claim: Job
) -> None:
    judge(cast, claim, "not_covered", "other", None, REASON)
    owner = as_staff(cast.owner_user)
    for name in ("bench_job", "office_job"):
        assert f">{claim.shown_ref}</a>" in owner.get(reverse(name, args=[home.ref])).text
        page = owner.get(reverse(name, args=[claim.ref])).text
        assert f">{home.shown_ref}</a>" in page
        assert "Not covered" in page
