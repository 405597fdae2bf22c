"""What the office says after a press on "nudge": that the letter goes now, or when, for it waits at night and on days off."""

from datetime import datetime

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from jobs.models import Customer
from notifications.hours import by_day


def reminded(person: Customer, now: datetime | None = None) -> str:
    """A sentence; the hour is by the workshop's clock, as on every page, though the quiet hours are by the customer's."""
    moment = now or timezone.now()
    goes = by_day(person, moment)
    if goes <= moment:
        return _("A reminder to %(name)s is on its way.") % {"name": person.name}
    told = {"name": person.name, "when": date_format(timezone.localtime(goes), _("l j F, H:i"))}
    return _("The reminder to %(name)s goes on %(when)s: not in quiet hours, and not on a day off.") % told
