"""Which open jobs a message that fits none may be about: those of the address that it says it comes from. A sender can be made up, so
this is a help for whoever decides and decides nothing."""

from collections import defaultdict
from collections.abc import Sequence

from jobs import stages
from jobs.models import Job
from notifications.models import Incoming

MOST = 200  # jobs of all senders of a page together


def open_jobs_of(messages: Sequence[Incoming]) -> dict[str, list[Job]]:
    """By the address as it stands in the message; one query for any number of them."""
    addresses = {message.from_address for message in messages if message.from_address and not message.job_id}
    typed = addresses | {address.lower() for address in addresses}
    if not typed:
        return {}
    found: dict[str, list[Job]] = defaultdict(list)
    jobs = Job.objects.with_people().filter(customer__email__in=typed).exclude(stage__in=stages.OVER)
    for job in jobs.order_by("-pk")[:MOST]:
        found[job.customer.email.lower()].append(job)
    return {address: found[address.lower()] for address in addresses}
