"""Just before a letter goes: does its address still hold, and is it day?

Between its writing and its leaving lie a night, a wait for company, or an outage. Meanwhile an address may have been corrected, or
somebody may have said "no more texts"; and what was written for the morning may come to its turn at midnight.
"""

from datetime import datetime

from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.models import Customer
from jobs.words import Way
from notifications import claiming, hours, ways
from notifications.channels.base import Trouble, Undelivered
from notifications.lost import LOST
from notifications.models import Letter
from notifications.plan import plan_of


def why_nowhere(letter: Letter) -> str:
    """Write the address that we have now on a claimed letter. "" when it has one, else why it need not go, in words for the office.

    Raises Undelivered where nobody else tells them: then it has failed, the next way is tried, and the office sees it.
    """
    # As it was a moment ago, when the letter was claimed; `still_holds` asks the row itself.
    address = ways.address_on_file(letter.person, letter.channel)
    if not address:
        reason = _no_longer_theirs(letter.channel)
        if letter.person_id and _is_told_otherwise(letter):
            return reason
        raise Undelivered(reason, Trouble.PERMANENT)
    if address != letter.to_address:
        letter.to_address = address
        claiming.mine(letter).update(to_address=address)
    return ""


def still_holds(letter: Letter) -> claiming.Condition:
    """What is true of the row as long as its address is the one on file: looked at once more in the moment in which the link begins to
    live, because the links that went to an address die when it is corrected.
    """
    if letter.person_id is None or letter.channel == Way.PUSH:
        return claiming.ALWAYS
    on_file = "them.text_to = %s AND them.wants_texts" if letter.channel == Way.TEXT else "them.email = %s"
    theirs = f"SELECT 1 FROM {Customer._meta.db_table} AS them WHERE them.id = person_id AND {on_file}"  # noqa: S608 - names of our own
    return f"EXISTS ({theirs})", [letter.to_address]


def opens(letter: Letter) -> datetime | None:
    """When the day begins that a letter waits for; None where it goes now. What the office sends by hand goes at any time."""
    if (
        letter.by_hand or letter.channel != Way.EMAIL
    ):  # the other ways look for themselves: they never ring at night
        return None
    try:
        by_day = plan_of(letter).by_day
    except KeyError:
        return None
    now = timezone.now()
    at = hours.by_day(letter.person, now) if by_day else now
    return at if at > now else None


def _is_told_otherwise(letter: Letter) -> bool:
    others = Letter.objects.filter(entry=letter.entry_id, person=letter.person_id).exclude(pk=letter.pk)
    return others.exclude(state__in=LOST).exists()


def _no_longer_theirs(way: str) -> str:
    if way == Way.TEXT:
        return _("They want no text messages any more.")
    return (
        _("None of their devices takes notices any more.")
        if way == Way.PUSH
        else _("There is no e-mail address to write to.")
    )
