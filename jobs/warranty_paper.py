"""The card of a warranty, put together for `jobs.papers` from its rows. A warranty's covers do not change once it has begun, so one card
says all of it; what is mended again under it gets a warranty, and a card, of its own.
"""

from datetime import datetime
from typing import Any

from django.utils.translation import gettext as _

from jobs import papers
from jobs.history import aftercare_of
from jobs.letterhead import house_name, letterhead, pdf_name
from jobs.models import Cover, Warranty, Workshop
from jobs.speaking import speaking
from jobs.warranty_terms import covered_until

Data = dict[str, Any]


def pdf_of_warranty(warranty: Warranty, made_at: datetime) -> bytes:
    """In the customer's language and the workshop's time. Raises jobs.papers.CannotSet."""
    language = warranty.job.customer.language
    with speaking(language, Workshop.objects.current()):
        return papers.warranty(told_of_warranty(warranty, made_at), language=language)


def told_of_warranty(warranty: Warranty, made_at: datetime) -> Data:
    """What `jobs.papers.warranting.content` asks for."""
    return letterhead(warranty.job, made_at) | {
        "item": warranty.job.item.name,
        "starts_on": warranty.starts_on.isoformat(),
        "covers": [_cover(cover, warranty) for cover in warranty.covers.all()],
        "aftercare": _aftercare(warranty),
        "terms": [
            _("What we mended we mend again at no charge, post included, until the last day named."),
            _(
                "A fall, water, sand, or work by somebody else is not our work failing. Then we look first, and tell you what we see."
            ),
        ],
    }


def file_name(warranty: Warranty) -> str:
    """Tidewater Camera Works 4TM7-QKR warranty.pdf"""
    about = {"house": house_name(), "ref": warranty.job.shown_ref}
    return pdf_name(_("%(house)s %(ref)s warranty") % about)


def _cover(cover: Cover, warranty: Warranty) -> Data:
    """The months are named where they are what it runs from the first day of this warranty; what stands on has no round number."""
    whole = cover.until == covered_until(warranty.starts_on, cover.months)
    return {
        "what": cover.what,
        "mechanism": cover.mechanism,
        "until": cover.until.isoformat() if cover.until else None,
        "months": cover.months if whole else 0,
        "why_not": cover.why_not,
    }


def _aftercare(warranty: Warranty) -> list[str]:
    """Matters of use and habits, a paragraph each."""
    told = aftercare_of(warranty.job)
    matters = [f"{matter.title.rstrip('.')}. {' '.join(matter.advice)}" for matter in told.matters]
    return [*matters, *told.habits]
