from celery import shared_task
from django.utils import timezone

from portal.models import Pulse


@shared_task(name="portal.pulse")
def pulse(queue: str) -> None:
    """Notes that a message of this queue reached a worker and that the worker reaches the database."""
    Pulse.objects.update_or_create(queue=queue, defaults={"felt_at": timezone.now()})
