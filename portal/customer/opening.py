"""This browser is let in to a job without a letter: it has just booked it, or opened a claim on it."""

from django.http import HttpRequest

from jobs.actions.linking import find_link, issue_link, note_opening
from jobs.models import Job
from portal import device
from portal.access import OPENED
from portal.sessions import under_a_new_key


def open_here(request: HttpRequest, job: Job) -> str:
    """Start a session for `job`, as its private link would. The link made for it can be closed like any other.

    It was sent to nobody, so it is made for no address. Returns the number under which the device counts as the one that booked; a
    caller whose visitor may have none yet keeps it in the answer (`portal.device.keep`).
    """
    this = device.of(request) or device.new()
    link = find_link(issue_link(job))
    if link:
        note_opening(link, this)
    under_a_new_key(request.session)
    request.session[OPENED] = request.session.get(OPENED, {}) | {job.ref: link.pk if link else None}
    return this
