"""Claims brought along by the real actions, for tests about warranties."""

from jobs.actions import arriving, judging, warranting, working
from jobs.actor import Actor
from jobs.models import Cover, Job
from tests.cast import Cast


def open_claim(job: Job, story: str = "The lever slips again.", cover: Cover | None = None) -> Job:
    return warranting.open_claim(job, story, Actor.customer(job.customer), cover)


def examined(cast: Cast, job: Job, **finding: str) -> Job:
    """A claim that is being examined; with a finding where one is described."""
    claim = open_claim(job)
    arriving.receive(claim, arriving.Parcel(), cast.technician)
    arriving.start_examination(claim, cast.technician)
    if finding:
        cast.post_finding(claim, "It slips once more", **finding)
    return claim


def claimed(cast: Cast, **finding: str) -> Job:
    """The same of a job of its own, which is its `claim_on`."""
    return examined(cast, cast.home(), **finding)


def first_cover(job: Job) -> Cover:
    cover = job.warranty.covers.filter(until__isnull=False).first()
    assert cover
    return cover


def judge(
    cast: Cast,
    claim: Job,
    judgement: str = "covered",
    again: str = "same",
    cover: Cover | None = None,
    because: str = "The screw had worked loose again.",
) -> None:
    judging.judge_claim(claim, judgement, again, cover, because, cast.technician)


def bring_home(cast: Cast, claim: Job) -> Job:
    """Done, tested, sent and delivered."""
    for step in (working.start_work, working.start_proving):
        step(claim, cast.technician)
    working.prove(claim, [working.Tested("transport", True)], cast.technician)
    cast.send_back(claim)
    working.deliver(claim, cast.technician)
    return claim


def mended_again(cast: Cast, job: Job, **judged: object) -> Job:
    """A claim on the first cover of the job's warranty that was done at no charge and is home again."""
    claim = examined(cast, job)
    judge(cast, claim, **{"cover": first_cover(job), **judged})  # type: ignore[arg-type]
    return bring_home(cast, claim)
