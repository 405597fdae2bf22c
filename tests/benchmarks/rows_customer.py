"""The customer's page: how long, how many queries, how many bytes, beside a bare view with one query in the same run."""

import gzip
from collections.abc import Iterator
from functools import partial
from pathlib import Path

from django.db import connection
from django.http import HttpRequest, HttpResponse
from django.template import engines
from django.test import Client, override_settings
from django.test.utils import CaptureQueriesContext
from django.urls import include, path

from jobs.actions import asking
from jobs.actions.linking import find_link, issue_link
from jobs.actor import Actor
from jobs.models import Job
from jobs.words import Stage
from portal.access import OPENED
from tests.benchmarks.frame import Row, at_most, measured, milliseconds, side_by_side
from tests.cast import make_cast

CSS = Path(__file__).parents[2] / "portal/static/portal/benchletter.css"


def bare(request: HttpRequest) -> HttpResponse:
    """The least that a Django view can be: one query, one line."""
    return HttpResponse(f"<!doctype html><title>{Job.objects.count()}</title>")


LIST = engines["django"].from_string(
    "<!doctype html><title>List</title><form method=post>{% csrf_token %}</form><table>"
    "{% for job in jobs %}<tr><td>{{ job.ref }}<td>{{ job.stage }}<td>{{ job.story }}<td>{{ job.created_at }}{% endfor %}</table>"
)


def plain_list(request: HttpRequest) -> HttpResponse:
    """A plain page as people write them every day: who is logged in, one query for fifty rows, a table and a form."""
    return HttpResponse(LIST.render({"jobs": Job.objects.all()[:50], "user": str(request.user)}, request))


urlpatterns = [path("bare/", bare), path("list/", plain_list), path("", include("portal.urls"))]


def visitor(job: Job) -> Client:
    client = Client(headers={"accept-encoding": "gzip"})
    link = find_link(issue_link(job))
    assert link
    session = client.session
    session[OPENED] = {job.ref: link.pk}
    session.save()
    return client


def grown(job: Job, findings: int, entries: int) -> Job:
    for n in range(findings):
        CAST.post_finding(job, f"Finding {n}")
    for n in range(entries):
        asking.ask(job, f"Question {n}", Actor.customer(job.customer), f"{job.ref}-{n}")
    return job


def queries(client: Client, address: str) -> int:
    client.get(address)
    with CaptureQueriesContext(connection) as caught:
        client.get(address)
    return len(caught)


@measured
def the_customers_page() -> Iterator[Row]:
    global CAST
    CAST = make_cast()
    job = CAST.job_at(Stage.QUOTED)
    client, address = visitor(job), f"/my/{job.ref}/"
    with override_settings(ROOT_URLCONF=__name__):
        for n in range(50):
            CAST.book(name=f"Person {n}", email=f"p{n}@example.org")
        page, least, usual = side_by_side(
            *(partial(client.get, each) for each in (address, "/bare/", "/list/"))
        )
    yield at_most("customer's page, in-process, beside a bare view with one query", page / least, "times", 4)
    yield at_most("the same beside a plain list: one query, fifty rows, a form", page / usual, "times", 4)
    yield Row(
        "customer's page, in-process",
        round(page, 2),
        "ms",
        f"told only (bare view {least:.2f} ms, plain list {usual:.2f} ms)",
        True,
    )
    few = queries(client, address)
    yield at_most("customer's page, queries", few, "queries", 12)
    many = queries(client, f"/my/{grown(job, 30, 60).ref}/")
    yield at_most("the same with 31 findings and 60 questions", many - few, "more queries", 0)


@measured
def first_view() -> Row:
    job = CAST.job_at(Stage.QUOTED, name="Theda Marchbanks", email="theda@example.org")
    html = Client().get("/") and visitor(job).get(f"/my/{job.ref}/")
    size = len(gzip.compress(gzip.decompress(html.content), 9)) + len(gzip.compress(CSS.read_bytes(), 9))
    return at_most("customer's first view, HTML and CSS compressed", size, "bytes", 14_600)


@measured
def nothing_new() -> Iterator[Row]:
    job = CAST.job_at(Stage.IN_WORK, name="Ivo Harkaway", email="ivo@example.net")
    client, address = visitor(job), f"/my/{job.ref}/news/"
    tag = client.get(address, headers={"hx-request": "true"})["ETag"]

    def ask() -> HttpResponse:
        return client.get(address, headers={"hx-request": "true", "if-none-match": tag})

    assert ask().status_code == 304
    yield Row("asking for news when there is none", round(milliseconds(ask), 2), "ms", "told only", True)
    with CaptureQueriesContext(connection) as caught:
        ask()
    yield at_most("asking for news when there is none, queries", len(caught), "queries", 2)
