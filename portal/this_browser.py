"""Notices that this browser asked for, as its session knows them."""

from django.http import HttpRequest

from jobs.models import Job
from notifications import devices

TAKEN = "notices"  # session key: numbers of the subscriptions that this browser made
MOST = 10


def remember(request: HttpRequest, number: int) -> None:
    request.session[TAKEN] = [*request.session.get(TAKEN, []), number][-MOST:]


def takes_notices(request: HttpRequest, job: Job) -> bool:
    """Whether this browser takes notices for the job's customer."""
    return job.customer.subscriptions.filter(pk__in=request.session.get(TAKEN, [])).exists()


def let_others_go(request: HttpRequest, job: Job) -> None:
    """No notices to other devices of this customer."""
    devices.let_all_go(job.customer, keep=request.session.get(TAKEN, []))


def forget(request: HttpRequest) -> None:
    """Called before the session ends: a notice on a device that was to be forgotten would tell of what it has forgotten."""
    if numbers := request.session.pop(TAKEN, []):
        devices.forget(numbers)
