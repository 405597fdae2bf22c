"""The evidence of a job's answers, to take away."""

from tempfile import SpooledTemporaryFile

from django.http import FileResponse, HttpRequest, HttpResponseBase
from django.views.decorators.http import require_safe

from jobs.exporting import export, file_name
from portal.access import for_owner
from portal.office.views import find_job

IN_MEMORY = 2_000_000  # bytes; more goes into a temporary file that has no name


@require_safe
@for_owner
def office_evidence(request: HttpRequest, ref: str) -> HttpResponseBase:
    """A zip that can be checked without us. It changes nothing, so it is a GET."""
    job = find_job(ref)
    packed = SpooledTemporaryFile(max_size=IN_MEMORY)  # noqa: SIM115 - the response closes it
    export(job, packed)
    packed.seek(0)
    return FileResponse(packed, as_attachment=True, filename=file_name(job), content_type="application/zip")
