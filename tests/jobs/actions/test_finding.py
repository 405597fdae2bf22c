import pytest

from jobs.actions import finding
from jobs.actions.refusals import Refused
from jobs.models import Finding, Job
from jobs.words import Stage
from tests.cast import Cast
from tests.once import made_once

DRAFT = finding.Draft(
    "transport", "seen", "explains", "stops", "A screw had dropped among the gears", "It lay there."
)


@pytest.fixture
def job(cast: Cast) -> Job:
    return made_once(cast.job_at, Stage.EXAMINING)


def test_a_finding_kept_for_later_is_nobodys_but_ours(job: Job) -> None:
    finding.keep(job, DRAFT)
    assert not job.findings.posted().exists()


def test_a_posted_finding_keeps_its_words_and_their_digest(cast: Cast, job: Job) -> None:
    posted = cast.post_finding(job)
    wording = posted.wordings.get()
    assert wording.content["title"] == posted.title
    assert job.entries.last().data["digest"] == wording.digest


def test_two_taps_post_once(cast: Cast, job: Job) -> None:
    kept = finding.keep(job, DRAFT)
    finding.post(kept, cast.technician)
    with pytest.raises(Refused):
        finding.post(Finding.objects.get(pk=kept.pk), cast.technician)
    assert kept.wordings.count() == 1


def test_a_posted_finding_is_not_written_over(cast: Cast, job: Job) -> None:
    posted = cast.post_finding(job)
    with pytest.raises(Refused):
        finding.keep(job, DRAFT, posted)


def test_a_correction_keeps_what_was_said_before(cast: Cast, job: Job) -> None:
    posted = cast.post_finding(job)
    finding.correct(
        posted,
        DRAFT.__class__(**{**vars(DRAFT), "title": "A pin had dropped"}),
        "It was a pin.",
        cast.technician,
    )
    assert [wording.content["title"] for wording in posted.wordings.all()] == [
        DRAFT.title,
        "A pin had dropped",
    ]
    assert job.entries.last().data["because"] == "It was a pin."


def test_a_correction_needs_a_reason(cast: Cast, job: Job) -> None:
    with pytest.raises(Refused) as refused:
        finding.correct(cast.post_finding(job), DRAFT, "  ", cast.technician)
    assert refused.value.field == "because"


def test_a_withdrawn_finding_stays_to_be_read_with_its_reason(cast: Cast, job: Job) -> None:
    posted = cast.post_finding(job)
    finding.withdraw_finding(posted, "The light deceived us.", cast.technician)
    assert list(job.findings.posted()) == [posted]
    assert list(job.findings.standing()) == []


def test_a_finding_from_the_library_needs_all_its_facts(cast: Cast, job: Job) -> None:
    kept = finding.keep(
        job,
        finding.Draft(
            "counter",
            "seen",
            "explains",
            "stops",
            "The counter stops it",
            explanation="counter/stops-at-one-number",
        ),
    )
    with pytest.raises(Refused) as refused:
        finding.post(kept, cast.technician)
    assert refused.value.field == "facts"
    assert not job.findings.posted().exists()


def test_what_the_library_said_is_kept_with_the_finding(cast: Cast, job: Job) -> None:
    kept = finding.keep(
        job,
        finding.Draft(
            "counter",
            "seen",
            "explains",
            "stops",
            "The counter stops it",
            explanation="counter/stops-at-one-number",
            facts={"frame": 22, "cover": "off"},
        ),
    )
    posted = finding.post(kept, cast.technician)
    assert "22" in str(posted.shown)
    assert posted.wordings.get().content["shown"] == posted.shown


def test_an_explanation_that_does_not_exist_is_refused(cast: Cast, job: Job) -> None:
    kept = finding.keep(
        job, finding.Draft("lens", "seen", "explains", "stops", "Fog", explanation="lens/no-such-thing")
    )
    with pytest.raises(Refused) as refused:
        finding.post(kept, cast.technician)
    assert refused.value.field == "explanation"


def test_what_stops_it_comes_before_what_only_looks(cast: Cast, job: Job) -> None:
    looks = cast.post_finding(job, "Bumps under the covering", effect="looks")
    stops = cast.post_finding(job)
    assert list(job.findings.worst_first()) == [stops, looks]


def test_nothing_is_found_before_it_is_examined(cast: Cast) -> None:
    with pytest.raises(Refused):
        finding.keep(cast.job_at(Stage.ARRIVED), DRAFT)


def test_a_kept_finding_can_be_dropped_and_a_posted_one_cannot(cast: Cast, job: Job) -> None:
    finding.drop(finding.keep(job, DRAFT))
    assert not job.findings.exists()
    with pytest.raises(Refused):
        finding.drop(cast.post_finding(job))


def test_the_answer_to_the_story_is_kept_and_journalled(cast: Cast, job: Job) -> None:
    finding.answer_story(job, " No. Nothing bent. ", cast.technician)
    assert job.story_answer == "No. Nothing bent."
    assert job.entries.last().data == {"answer": "No. Nothing bent."}
