"""What a customer was shown stays, word for word, whatever becomes of the explanation."""

import re

import pytest
from django.test import Client
from django.urls import reverse

from jobs.actions.explaining import back_to_shipped, put_in_use
from jobs.models import Finding, Job
from jobs.words import Stage
from tests.cast import Cast
from tests.own_text import COUNTER, OWN, own_text, text
from tests.portal.conftest import Visitor
from tests.portal.writing.conftest import page_of

pytestmark = pytest.mark.django_db
FACTS = {"frame": "22", "cover": "off"}
OURS = "The wheel under the numbers was put back wrongly, as we see it often."


@pytest.fixture
def old(cast: Cast) -> Job:
    """A job whose customer was shown the shipped text."""
    job = cast.job_at(Stage.EXAMINING)
    cast.post_finding(job, explanation=COUNTER, facts=FACTS)
    return job


def explained(browser: Client, job: Job) -> str:
    """The explanation's own page as the customer has it, without the CSRF token."""
    finding = job.findings.get()
    page = page_of(browser.get(reverse("my_explained", args=[job.ref, finding.pk])))
    return re.sub(r'name="csrfmiddlewaretoken" value="[^"]*"', "", page)


def edit(cast: Cast, base: int = 0) -> None:
    put_in_use(
        COUNTER,
        text(happening=OURS, how_we_know="{frame}. {cover} {mark:1}", bench_words=["x y z"]),
        base,
        cast.owner,
    )


def test_an_old_job_keeps_its_page_word_for_word(cast: Cast, as_customer: Visitor, old: Job) -> None:
    orla = as_customer(old)
    before = explained(orla, old)
    edit(cast)
    assert explained(orla, old) == before
    assert OURS not in before


def test_a_new_finding_gets_the_new_text(cast: Cast, as_customer: Visitor, old: Job) -> None:
    edit(cast)
    new = cast.job_at(Stage.EXAMINING, cast.another_book())
    cast.post_finding(new, explanation=COUNTER, facts=FACTS)
    assert OURS in explained(as_customer(new), new)


def test_a_finding_kept_before_and_posted_after_gets_the_new_text(cast: Cast, old: Job) -> None:
    from jobs.actions.finding import Draft, keep, post

    kept = keep(
        old, Draft("counter", "seen", "earlier", "stops", "It stops", explanation=COUNTER, facts=FACTS)
    )
    edit(cast)
    assert OURS in str(post(kept, cast.technician).shown)


def test_going_back_leaves_what_was_shown_in_between(cast: Cast, as_customer: Visitor) -> None:
    edit(cast)
    job = cast.job_at(Stage.EXAMINING)
    cast.post_finding(job, explanation=COUNTER, facts=FACTS)
    before = explained(as_customer(job), job)
    back_to_shipped(COUNTER, 1, cast.owner)
    assert OURS in before
    assert explained(as_customer(job), job) == before


def test_a_finding_of_an_entry_that_is_gone_still_shows_it(cast: Cast, as_customer: Visitor) -> None:
    put_in_use(OWN, own_text(), 0, cast.owner)
    job = cast.job_at(Stage.EXAMINING)
    cast.post_finding(job, explanation=OWN, facts=FACTS)
    back_to_shipped(OWN, 1, cast.owner)
    assert "Why does the counter skip a number?" in explained(as_customer(job), job)


def test_the_bench_still_opens_a_finding_of_an_entry_that_is_gone(cast: Cast, jory: Client) -> None:
    put_in_use(OWN, own_text(), 0, cast.owner)
    job = cast.job_at(Stage.EXAMINING)
    finding: Finding = cast.post_finding(job, explanation=OWN, facts=FACTS)
    back_to_shipped(OWN, 1, cast.owner)
    assert jory.get(reverse("bench_finding", args=[job.ref, finding.pk])).status_code == 200


def test_the_bench_is_offered_an_entry_of_our_own_in_use(cast: Cast, jory: Client) -> None:
    put_in_use(OWN, own_text(), 0, cast.owner)
    job = cast.job_at(Stage.EXAMINING)
    page = page_of(
        jory.get(reverse("bench_explanations", args=[job.ref]), {"look": "counter skips a number"})
    )
    assert f'value="{OWN}"' in page
