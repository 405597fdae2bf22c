"""The customer's copy of a quote, to keep."""

from django.http import HttpRequest, HttpResponseBase
from django.urls import reverse
from django.views.decorators.http import require_safe

from jobs.models import Job
from portal.access import for_customer
from portal.copies import quote_pdf


@require_safe
@for_customer
def my_quote_pdf(request: HttpRequest, job: Job) -> HttpResponseBase:
    return quote_pdf(request, job, reverse("my_quote", args=[job.shown_ref]))
