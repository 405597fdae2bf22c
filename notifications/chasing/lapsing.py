"""What happens when nothing came: a quote's last day passes."""

from datetime import datetime

from jobs.actions.quote import lapse
from jobs.models import Quote
from notifications.chasing.house import read_house
from notifications.sparing import one_of_many


def lapse_all_past(now: datetime) -> int:
    """Let every open quote lapse whose last day has passed by the workshop's clock. Returns how many did."""
    past, lapsed = Quote.objects.past_validity(read_house().day(now)), 0
    for quote in past.select_related("job"):
        with one_of_many("quote", quote.pk):
            lapsed += lapse(quote)
    return lapsed
