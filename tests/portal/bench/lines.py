"""What is typed for a line of a quote, and where."""

from typing import Any

from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from jobs.models import Finding, Job
from tests.cast import Cast

HAZE = "lens/haze-inside"
FACTS = {"surfaces": "both", "strength": "even"}
LINE = {"kind": "work", "need": "needed", "title": "Clean the haze", "why": "", "price": "38", "months": ""}
TRY = {
    "w0_title": "It wipes off",
    "w0_share": "14",
    "w1_title": "The glass has gone",
    "w1_share": "6",
    "w1s0_title": "Fit a sound lens group",
    "w1s0_price": "78",
}


def at(job: Job) -> str:
    return reverse("bench_quote", args=[job.ref])


def add(browser: Client, job: Job, **said: Any) -> HttpResponse:
    return browser.post(at(job), {"do": "line", **LINE, **said})


def page_of(answer: HttpResponse) -> str:
    return answer.content.decode()


def error_at(answer: HttpResponse, field: str) -> str:
    """The sentence beside a field; "" where there is none."""
    page = page_of(answer)
    place = f'id="id_{field}_error">'
    return page.split(place)[1].split("</p>")[0] if place in page else ""


def haze(cast: Cast, job: Job) -> Finding:
    """A finding whose explanation knows three ways to turn out."""
    return cast.post_finding(
        job, "Haze inside the lens", mechanism="lens", effect="pictures", explanation=HAZE, facts=FACTS
    )
