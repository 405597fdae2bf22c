"""The workshop's copy of a quote with its answer: the same file as the customer's."""

from django.http import HttpRequest, HttpResponseBase
from django.urls import reverse
from django.views.decorators.http import require_safe

from jobs.models import Job
from portal.access import for_staff
from portal.bench.common import with_job
from portal.copies import quote_pdf


@require_safe
@for_staff
@with_job
def bench_answer_pdf(request: HttpRequest, job: Job) -> HttpResponseBase:
    return quote_pdf(request, job, reverse("bench_job", args=[job.ref]))
