"""A quote that is being written, as the customer will read it: the same parts of their page, from the same words."""

from typing import Any

from django.urls import reverse
from django.utils.translation import gettext as _

from jobs.convolving import TooMany
from jobs.evidence import content, sheet_of
from jobs.models import Job, Quote
from jobs.words import LeftAs
from portal.bench.sending import SendForm
from portal.customer import quote_page, quote_sums
from portal.customer.quote_form import QuoteForm


def preview(job: Job, draft: Quote, form: SendForm) -> dict[str, Any]:
    """The variables of templates/bench/preview.html; `form` is valid, and its words are put into `draft`, which is not saved."""
    for name, value in form.cleaned_data.items():
        setattr(draft, name, value)
    told = content(draft)
    numbers = sheet_of(told)
    how = str(LeftAs(draft.if_declined).label) if draft.if_declined else ""
    return {
        "quote": draft,
        "questions": quote_page.questions(job, draft, told, numbers, QuoteForm(draft, told)),
        "reckoning": _reckoning(draft, numbers),
        "sum_title": _("What it needs comes to"),
        "declined": ". ".join(filter(None, [how, draft.if_declined_note])),
        "my_url": reverse("my", args=[job.shown_ref]),
        "copy": True,
    }


def _reckoning(draft: Quote, numbers: Any) -> quote_sums.Reckoning | None:
    try:
        return quote_sums.read(draft, numbers, numbers.needed, choosing=False)
    except TooMany:
        return None
