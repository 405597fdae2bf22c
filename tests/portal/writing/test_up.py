"""From the bench: writing up a finding that was written by hand."""

import pytest
from django.test import Client
from django.urls import reverse

from jobs.actions.finding import Draft, keep
from jobs.models import ExplanationVersion, Finding, Job
from jobs.words import Stage
from tests.cast import Cast
from tests.once import made_once
from tests.own_text import COUNTER
from tests.portal.writing.conftest import page_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(cast: Cast) -> Job:
    return made_once(cast.job_at, Stage.EXAMINING)


@pytest.fixture
def finding(cast: Cast, job: Job) -> Finding:
    return cast.post_finding(job)


def at(finding: Finding) -> str:
    return reverse("bench_write_up", args=[finding.job.ref, finding.pk])


def test_writing_up_opens_the_editor_with_what_was_said(jory: Client, finding: Finding) -> None:
    answer = jory.post(at(finding), follow=True)
    assert answer.redirect_chain[0][0] == reverse(
        "library_edit", args=["transport", "a-screw-had-dropped-among-the-gears"]
    )
    assert finding.title in page_of(answer)
    assert finding.text in page_of(answer)
    assert "Nobody is named in it." in page_of(answer)


def test_the_customers_name_does_not_come_along(jory: Client, job: Job, finding: Finding) -> None:
    page = page_of(jory.post(at(finding), follow=True))
    assert "Fennimore" not in page
    assert "Orla" not in page


def test_the_job_offers_it_for_findings_in_our_own_words_only(
    jory: Client, job: Job, finding: Finding
) -> None:
    said = Draft("counter", "seen", "earlier", "stops", "It stops", explanation=COUNTER)
    other = keep(job, said)
    page = page_of(jory.get(reverse("bench_job", args=[job.ref])))
    assert at(finding) in page
    assert at(other) not in page


def test_a_finding_from_the_library_is_refused(jory: Client, job: Job) -> None:
    said = Draft("counter", "seen", "earlier", "stops", "It stops", explanation=COUNTER)
    answer = jory.post(at(keep(job, said)))
    assert answer.status_code == 422
    assert "Only a finding in our own words can be written up." in page_of(answer)


def test_the_draft_is_not_offered_on_the_bench_until_it_is_put_in_use(
    jory: Client, job: Job, finding: Finding
) -> None:
    jory.post(at(finding))
    key = ExplanationVersion.objects.get().key
    assert f'value="{key}"' not in page_of(jory.get(reverse("bench_finding_new", args=[job.ref])))


def test_another_jobs_finding_is_not_found(cast: Cast, jory: Client, finding: Finding) -> None:
    other = cast.another_book()
    assert jory.post(reverse("bench_write_up", args=[other.ref, finding.pk])).status_code == 404
