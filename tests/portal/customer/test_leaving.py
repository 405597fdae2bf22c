"""Sending it back as it is: at the cost that stood on the page."""

import re

from jobs.accounts import account
from jobs.actions import arriving
from jobs.words import Stage
from tests.portal.customer.pages import to, words_of

HIDDEN = re.compile(r'name="cost" value="(\d+)"')


def test_what_it_costs_is_shown_anew_where_it_has_changed_since(cast, as_customer):
    job = cast.job_at(Stage.ARRIVED)
    visitor = as_customer(job)
    told = HIDDEN.search(visitor.get(to("my_leave", job)).text)[1]
    arriving.start_examination(job, cast.technician)
    stale = visitor.post(to("my_leave", job), {"name": "Orla", "because": "Too dear", "cost": told})
    job.refresh_from_db()
    assert (stale.status_code, job.stage) == (422, Stage.EXAMINING)
    assert "what it costs became £37. Nothing was done. Please look once more." in words_of(stale.text)
    assert "Too dear" in stale.text
    again = HIDDEN.search(stale.text)[1]
    visitor.post(to("my_leave", job), {"name": "Orla", "because": "Too dear", "cost": again})
    assert account(job).due == 3700
