"""What the office does with messages that were set aside: take one to a job, or lay it aside as seen."""

import tempfile
from dataclasses import replace
from pathlib import Path

from django.utils.translation import gettext as _

from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.darkroom import store
from jobs.models import Job
from notifications.models import Incoming
from notifications.replies import taking
from notifications.replies.apart import Unreadable, take_apart

State = Incoming.State
TO_DECIDE = (State.ASIDE, State.ROBOT, State.DONE)


def take_by_hand(incoming: Incoming, job: Job, by: Actor) -> None:
    """Put it to the job as a question of its customer's; the journal says who put it there. Raises Refused."""
    if incoming.state not in TO_DECIDE:
        raise Refused(_("It has been taken to a job already."))
    if not incoming.file:
        raise Refused(_("Nothing of it is kept here."))
    with tempfile.TemporaryDirectory(prefix="letter-in-") as folder:
        try:
            apart = take_apart(store.path(incoming.file), Path(folder))
        except (Unreadable, OSError):
            raise Refused(
                _("It cannot be read here. Take the whole message away and look at it in a mail program.")
            ) from None
        # Where nothing was left without the quoted letter, whoever looked at it has decided that the whole is meant.
        taking.take_to(incoming, replace(apart, text=apart.text or apart.whole), job, job.customer, by)
    incoming.refresh_from_db()


def lay_aside(incoming: Incoming) -> None:
    """Seen, and nothing to be done. Twice is once."""
    Incoming.objects.filter(pk=incoming.pk, state__in=[State.ASIDE, State.ROBOT]).update(state=State.DONE)
