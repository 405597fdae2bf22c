"""The page costs the same however much there is on it, and its first view fits one round trip."""

import gzip
from pathlib import Path

import pytest
from django.conf import settings
from django.db import connection
from django.test.utils import CaptureQueriesContext

from jobs.actions import asking, finding, working
from jobs.actions.photo import Ring, describe_photo, photo_is_ready
from jobs.actor import Actor
from jobs.library import get
from jobs.library.facts import examples
from jobs.models import Job, Photo
from jobs.words import Stage
from tests.portal.customer.pages import to

MOST_QUERIES = 12
ONE_ROUND_TRIP = 14_600  # bytes: ten segments, RFC 6928 section 2
STYLESHEET = Path(settings.BASE_DIR) / "portal/static/portal/benchletter.css"


def fill(cast, job: Job, n: int) -> None:
    """`n` of everything that a page lists."""
    for each in range(n):
        posted = cast.post_finding(job, f"Finding {each}")
        finding.correct(
            posted,
            finding.Draft("lens", "seen", "explains", "pictures", f"Finding {each} again"),
            "Looked.",
            cast.technician,
        )
        for purpose in ("finding", "arrival", "story"):
            photo = Photo.objects.create(
                job=job, purpose=purpose, finding=posted if purpose == "finding" else None
            )
            photo_is_ready(photo, width=1200, height=900, sizes={"400": "ab/a.jpg", "800": "ab/b.jpg"})
            photo.refresh_from_db()
            describe_photo(
                photo, caption="c", finding=photo.finding, rings=[Ring(1, 300, 300), Ring(2, 600, 600)]
            )
        asked = asking.ask(job, f"Question {each}", Actor.customer(job.customer), f"{job.ref}-{each}")
        asking.answer(asked, "Yes.", cast.technician)
    for mark in ["1", "1/2", "1/4"][:n]:
        working.measure(job, mark, 900_000, after_work=False)


def queries_of(visitor, job: Job, page: str) -> int:
    with CaptureQueriesContext(
        connection,
    ) as caught:
        assert visitor.get(to(page, job)).status_code == 200
    return len(caught)


@pytest.mark.parametrize("n", [1, 3, 30])
def test_the_page_of_a_job_takes_at_most_twelve_queries(cast, as_customer, n):
    job = cast.job_at(Stage.QUOTED)
    fill(cast, job, n)
    assert queries_of(as_customer(job), job, "my") <= MOST_QUERIES


def test_a_job_that_is_home_with_a_claim_takes_no_more(cast, as_customer):
    from jobs.actions.warranting import open_claim

    job = cast.job_at(Stage.AGREED)
    fill(cast, job, 3)
    for step in (Stage.IN_WORK, Stage.PROVING, Stage.READY, Stage.RETURNED):
        cast._road(step)[-1](job)
    cast.home(job)
    open_claim(job, "Again", Actor.customer(job.customer))
    assert queries_of(as_customer(job), job, "my") <= MOST_QUERIES


@pytest.mark.parametrize("page", ["my", "my_quote", "my_questions", "my_warranty", "my_settings", "my_leave"])
def test_no_page_takes_more_queries_when_there_is_more_on_it(cast, as_customer, page):
    few, many = cast.job_at(Stage.QUOTED), cast.job_at(Stage.QUOTED)
    fill(cast, few, 1)
    fill(cast, many, 3)
    assert queries_of(as_customer(few), few, page) == queries_of(as_customer(many), many, page)


def test_a_quote_takes_no_more_queries_with_more_lines(cast, as_customer):
    from jobs.actions import quote

    few, many = cast.job_at(Stage.QUOTED), cast.job_at(Stage.QUOTED)
    draft = quote.draft_quote(many)
    for n in range(6):
        found = cast.post_finding(many, f"More {n}")
        quote.put_line(draft, quote.LineDraft("work", "advised", f"Line {n}", 1000, findings=[found]))
    quote.send_quote(draft, cast.technician)
    assert queries_of(as_customer(few), few, "my_quote") == queries_of(as_customer(many), many, "my_quote")


def test_the_first_view_of_a_typical_job_fits_one_round_trip(cast, as_customer):
    """Four findings, two of them explained at length with drawings, three photographs with marks, a correction, a question."""
    job = cast.job_at(Stage.EXAMINING)
    for key in ("counter/stops-at-one-number", "lens/haze-inside"):
        posted = cast.post_finding(job, get(key).title, explanation=key, facts=examples(get(key).fields))
        photo = Photo.objects.create(job=job, purpose="finding", finding=posted)
        photo_is_ready(
            photo, width=1200, height=900, sizes={w: f"ab/{w}.jpg" for w in ("400", "800", "1200")}
        )
        photo.refresh_from_db()
        describe_photo(
            photo, caption="On our bench.", finding=posted, rings=[Ring(1, 300, 300), Ring(2, 600, 600)]
        )
    fill(cast, job, 1)
    cast.post_finding(job, "The rangefinder is right", certainty="ruled_out", bearing="clears", effect="know")
    cast._examine_and_quote(job)
    html = as_customer(job).get(to("my", job)).content
    together = len(gzip.compress(html, 9)) + len(gzip.compress(STYLESHEET.read_bytes(), 9))
    assert together <= ONE_ROUND_TRIP, together


def test_every_photograph_keeps_its_room_while_it_loads(cast, as_customer):
    import re

    job = cast.job_at(Stage.EXAMINING)
    fill(cast, job, 2)
    images = re.findall(r"<img[^>]*>", as_customer(job).get(to("my", job)).text)
    assert images
    assert all(" width=" in image and " height=" in image for image in images)
