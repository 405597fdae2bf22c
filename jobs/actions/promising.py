"""When it will be ready: two dates, given by the workshop."""

from datetime import date

from django.utils import timezone
from django.utils.translation import gettext as _

from jobs import journal
from jobs.actions.moving import changing
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.models import Job, Kind


def promise(job: Job, likely_by: date, surely_by: date, by: Actor, note: str = "") -> None:
    """Say by when it is likely back, and by when almost surely. Raises Refused for days past or the wrong way round."""
    if likely_by < timezone.localdate():
        raise Refused(_("That day has passed. Choose a later one."), "likely_by")
    if surely_by < likely_by:
        raise Refused(_("“Almost surely” cannot be before “likely”."), "surely_by")
    with changing(job) as fresh:
        if fresh.is_over:
            raise Refused(_("This job is over."))
        if (fresh.likely_by, fresh.surely_by, fresh.promise_note) == (likely_by, surely_by, note):
            return  # said already: one letter is enough
        fresh.likely_by, fresh.surely_by, fresh.promise_note = likely_by, surely_by, note
        fresh.save(update_fields=["likely_by", "surely_by", "promise_note"])
        journal.append(
            fresh,
            Kind.PROMISED,
            by,
            {"likely_by": likely_by.isoformat(), "surely_by": surely_by.isoformat(), "note": note},
        )
