"""One explanation, word for word as it was shown with a finding."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from jobs.models import Job
from portal.access import for_customer
from portal.customer.mine import is_theirs


@require_safe
@for_customer
def my_explained(request: HttpRequest, job: Job, finding: int) -> HttpResponse:
    """A page of its own; for htmx the bare text, which the job's page fetches when its disclosure is opened."""
    found = job.findings.posted().filter(pk=finding).first()
    if found is None or not found.shown:
        raise Http404
    shown = {"job": job, "theirs": is_theirs(request), "finding": found, "shown": found.shown}
    template = "parts/explained.html" if request.htmx else "customer/explained.html"
    response = render(request, template, shown)
    response["Vary"] = "HX-Request"
    return response
