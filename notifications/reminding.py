"""A letter a month before a warranty ends, to whoever asked for one."""

from datetime import datetime
from zoneinfo import ZoneInfo

from jobs.actions.reminding import ending_soon, remind
from jobs.models import Workshop
from notifications.sparing import one_of_many

MOST = 500  # in one go; the next sweep takes the rest


def remind_all_due(now: datetime) -> int:
    """Write into the journal of every warranty that ends within a month, by the workshop's clock. Returns how many there were."""
    house = Workshop.objects.current()
    if house is None:
        return 0
    today = now.astimezone(ZoneInfo(house.time_zone)).date()
    reminded = 0
    for warranty in ending_soon(today).select_related("job")[:MOST]:
        with one_of_many("warranty", warranty.pk):
            reminded += remind(warranty, today)
    return reminded
