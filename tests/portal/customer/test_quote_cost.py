"""What the quote's page costs in queries does not grow with the quote."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from jobs.actions import quote
from jobs.actions.quote_lines import LineDraft, OutcomeDraft
from jobs.words import Stage
from tests.portal.customer.pages import HTMX, to
from tests.portal.customer.quotes import chosen

MOST_FOR_A_TOTAL = 8
MOST_FOR_THE_PAGE = 8


def long_quote(cast, job, lines):
    draft = quote.draft_quote(job)
    found = cast.post_finding(job)
    for n in range(lines):
        outcomes = []
        if n % 5 == 0:
            branch = LineDraft("part", "needed", f"Branch {n}", 1000 + n)
            outcomes = [OutcomeDraft("It wipes off", 3), OutcomeDraft("It has gone", 1, follow_ons=[branch])]
        quote.put_line(
            draft, LineDraft("work", "advised", f"Line {n}", 500 + n, findings=[found], outcomes=outcomes)
        )
    return quote.send_quote(draft, cast.technician)


def queries(act):
    act()
    with CaptureQueriesContext(connection) as caught:
        assert act().status_code == 200
    return len(caught)


@pytest.mark.parametrize("lines", [5, 50])
def test_a_live_total_takes_few_queries_however_long_the_quote(cast, as_customer, lines):
    job = cast.job_at(Stage.EXAMINING)
    sent = long_quote(cast, job, lines)
    visitor = as_customer(job)
    typed = chosen(sent, "Line 0", "Branch 0", "Line 1")
    taken = queries(lambda: visitor.post(to("my_total", job), typed, headers=HTMX))
    assert taken <= MOST_FOR_A_TOTAL


@pytest.mark.parametrize("lines", [1, 5, 50])
def test_the_page_takes_the_same_queries_however_long_the_quote(cast, as_customer, lines):
    job = cast.job_at(Stage.EXAMINING)
    long_quote(cast, job, lines)
    visitor = as_customer(job)
    taken = queries(lambda: visitor.get(to("my_quote", job)))
    assert taken <= MOST_FOR_THE_PAGE
