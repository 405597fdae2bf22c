"""The card of a warranty, to print and keep."""

import logging
from io import BytesIO

from django.contrib import messages
from django.http import FileResponse, Http404, HttpRequest, HttpResponseBase
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from jobs.actions.papering import warranty_card
from jobs.models import Job, Warranty
from jobs.papers import CannotSet
from jobs.warranty_paper import file_name
from portal.access import for_customer
from portal.answers import see_other

log = logging.getLogger(__name__)


@require_safe
@for_customer
def my_warranty_pdf(request: HttpRequest, job: Job) -> HttpResponseBase:
    """As it is kept. Looking files the card where the letter's writer has not yet, at most once; nothing about the job changes by it."""
    warranty = Warranty.objects.filter(job=job).first()
    if warranty is None:
        raise Http404
    warranty.job = job
    try:
        body = bytes(warranty_card(warranty).body)
    except CannotSet:
        log.exception("the card of warranty %s could not be set", warranty.pk)
        messages.error(
            request, _("The card could not be made just now. Please tell us; the page itself prints well.")
        )
        return see_other(request, reverse("my_warranty", args=[job.shown_ref]))
    response = FileResponse(BytesIO(body), filename=file_name(warranty), content_type="application/pdf")
    response["Content-Length"] = str(len(body))
    response["Cache-Control"] = "private, no-store"
    return response
