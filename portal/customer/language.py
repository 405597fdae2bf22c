"""The language of a customer's letters and pages, as they choose it."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import override
from django.views.decorators.http import require_POST

from jobs.actions.contact import speak
from jobs.models import Job
from portal.access import for_customer
from portal.answers import see_other
from portal.door.language import LanguageForm, back, keep, refused


@require_POST
@for_customer
def my_language(request: HttpRequest, job: Job) -> HttpResponse:
    """Keep it with the customer, and on this device for the pages that know nobody."""
    form = LanguageForm(request.POST)
    if not form.is_valid():
        return refused(request, form)
    language, before = form.cleaned_data["language"], job.customer.language
    speak(job.customer, language)
    if language != before:
        with override(language):
            # Translators: the language that is named is the one you write in.
            messages.success(request, _("From now on your pages and our letters are in English."))
    return keep(see_other(request, back(request, form, reverse("my", args=[job.shown_ref]))), language)
