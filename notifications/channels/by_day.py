"""Texts and notices ring or light up a device: never at night, not even when a try before failed or the house stood still till then."""

from django.utils import timezone
from django.utils.translation import gettext as _

from notifications import hours
from notifications.channels.base import Undelivered
from notifications.models import Letter


def wait_for_day(letter: Letter) -> None:
    """Raises Undelivered in the reader's quiet hours. What the office sends by hand goes."""
    now = timezone.now()
    opens = hours.not_at_night(letter.person, now)
    if opens > now and not letter.by_hand:
        raise Undelivered(_("It waits for the morning."), wait=(opens - now).total_seconds())
