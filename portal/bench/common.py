"""What the bench's views share: finding the job, and showing its page again with a sentence."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _

from jobs import refs
from jobs.actions.refusals import Refused
from jobs.models import Job
from portal.access import View
from portal.answers import go
from portal.bench import steps


def with_job(view: View) -> View:
    """Calls `view(request, job, ...)` for the job named `ref` in the address. Stands below an access decorator."""

    @wraps(view)
    def found(request: HttpRequest, ref: str, *args: Any, **kwargs: Any) -> HttpResponse:
        try:
            tidy = refs.tidy(ref)
        except refs.BadRef as bad:
            raise Http404 from bad
        job = get_object_or_404(steps.seen_from_the_bench(), ref=tidy)
        return view(request, job, *args, **kwargs)

    return found


def show(request: HttpRequest, template: str, job: Job, status: int = 200, **context: Any) -> HttpResponse:
    """A page about one job."""
    return render(request, template, {"here": "bench", "job": job, **context}, status=status)


def to_job(request: HttpRequest, job: Job, said: str = "") -> HttpResponse:
    return go(request, reverse("bench_job", args=[job.ref]), said)


def if_told(job: Job, by_letter: str) -> str:
    """What the bench reads after news that nobody has to act on. `by_letter` is true only of who wants such letters."""
    if job.customer.wants_progress:
        return by_letter % {"called": job.customer.called}
    return _("Noted. %(called)s wants no letters about progress, and finds it on the page.") % {
        "called": job.customer.called
    }


def pressed(request: HttpRequest, job: Job, action: Callable[[], object], said: str) -> HttpResponse:
    """One press, one action: back to the job, or the job's page with the sentence that says why not."""
    from portal.bench.job import job_page

    try:
        action()
    except Refused as refused:
        return job_page(request, job, refused=refused.sentence)
    return to_job(request, job, said)
