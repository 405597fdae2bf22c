"""From the bench: a finding in our own words becomes a draft explanation."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from jobs.actions.explaining import write_up
from jobs.actions.refusals import Refused
from jobs.models import Job
from portal.access import for_staff
from portal.answers import go
from portal.bench.common import with_job
from portal.bench.job import job_page
from portal.writing.editing import address


@require_POST
@for_staff
@with_job
def write_this_up(request: HttpRequest, job: Job, pk: int) -> HttpResponse:
    """Make the draft, or find the one that was made, and open it."""
    found = get_object_or_404(job.findings, pk=pk)
    try:
        key = write_up(found, request.actor)
    except Refused as refused:
        return job_page(request, job, refused=refused.sentence)
    return go(
        request, address("library_edit", key), _("A draft, with what you wrote. Nobody is named in it.")
    )
