"""This browser is let in to a job without a letter: it has just booked it, or opened a claim on it."""

from django.http import HttpRequest

from jobs.actions.linking import find_link, issue_link
from jobs.models import Job
from portal.access import OPENED


def open_here(request: HttpRequest, job: Job) -> None:
    """Start a session for `job`, as its private link would. The link made for it can be closed like any other."""
    link = find_link(issue_link(job, made_for=job.customer.email))
    request.session.cycle_key()
    request.session[OPENED] = request.session.get(OPENED, {}) | {job.ref: link.pk if link else None}
