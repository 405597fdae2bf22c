"""Telephone calls, noted for those who work here. The customer's page says nothing about them."""

from django.utils.translation import gettext as _

from jobs import journal
from jobs.actions.moving import changing
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.models import Entry, Job, Kind

LONGEST_NOTE = 1000


def note_call(job: Job, reached: bool, note: str, by: Actor) -> Entry:
    """Note that we rang: whether we reached them, and what was said. A reached customer without a note is refused."""
    note = note.strip()
    if reached and not note:
        raise Refused(_("Write down in a few words what was said."), "note")
    if len(note) > LONGEST_NOTE:
        raise Refused(_("Keep it to %(n)s signs.") % {"n": LONGEST_NOTE}, "note")
    with changing(job) as fresh:
        return journal.append(fresh, Kind.CALLED, by, {"reached": reached, "note": note})
