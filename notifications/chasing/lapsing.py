"""What happens when nothing came: a quote's last day passes."""

from datetime import datetime

from jobs.actions.quote import lapse
from jobs.models import Quote
from notifications.chasing.house import read_house


def lapse_all_past(now: datetime) -> int:
    """Let every open quote lapse whose last day has passed by the workshop's clock. Returns how many did."""
    past = Quote.objects.past_validity(read_house().day(now))
    return sum(lapse(quote) for quote in past.select_related("job"))
