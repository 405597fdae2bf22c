"""A job with everything that evidence can hold: an answer on the page, its page and paper, and a photograph that was shown."""

from hashlib import sha256
from pathlib import Path

from django.conf import settings

from jobs.actions import deciding
from jobs.actions.deciding import Answer, Origin, decide
from jobs.actions.papering import answer_paper
from jobs.actor import Actor
from jobs.models import Decision, Job, Photo
from jobs.words import Stage
from tests.cast import Cast

PAGE = "<!doctype html><title>The quote</title><p>Free the winding gears: £85</p>".encode()
PICTURE = b"\xff\xd8\xff\xe0 as good as a photograph \xff\xd9"


def answered_with_everything(cast: Cast, way: Decision.Way = Decision.Way.PAGE) -> Job:
    job = cast.job_at(Stage.EXAMINING)
    found = cast.post_finding(job)
    name = f"ab/{sha256(PICTURE).hexdigest()}.jpg"
    kept = Path(settings.MEDIA_ROOT) / name
    kept.parent.mkdir(exist_ok=True)
    kept.write_bytes(PICTURE)
    Photo.objects.create(
        job=job, finding=found, purpose="finding", state="ready", sizes={"800": name}, width=800, height=600
    )
    sent = cast.send_quote(job)
    by_telephone = way == Decision.Way.TELEPHONE
    answer = Answer(
        sent.shown_hash,
        [line.pk for line in sent.lines.all() if line.need == "needed"],
        "Orla Fennimore",
        "Orla Fennimore said yes by telephone." if by_telephone else "I agree.",
        way,
        "Jory Pell" if by_telephone else "",
        page=b"" if by_telephone else PAGE,
    )
    by = cast.technician if by_telephone else Actor.customer(job.customer)
    outcome = decide(sent, answer, by, Origin("192.0.2.7", "A browser"))
    assert isinstance(outcome, deciding.Decided)
    answer_paper(outcome.decision)
    return Job.objects.get(pk=job.pk)
