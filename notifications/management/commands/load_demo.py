from collections.abc import Callable
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from jobs import demo
from jobs.actor import HOUSE
from jobs.models import Job
from notifications import demo_answers, demo_ways, history
from notifications.chasing import keeping, nudge


class Command(BaseCommand):
    """Stands here and not in jobs, because the stories hold nudges, letters and answers to them."""

    help = "Fill an empty database with the invented workshop's jobs."

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            with history.told_as_it_happens() as read:
                count = demo.load(_nudge, lambda: _then(read), demo_answers.answer_in_the_past)
        except demo.NotEmpty as not_empty:
            raise CommandError(
                "There is a workshop in this database already; the demo is not loaded over it."
            ) from not_empty
        history.settle()
        keeping.refresh_all()
        self.stdout.write(f"Tidewater Camera Works is open, with {count} jobs.")


def _then(read: Callable[[], None]) -> None:
    demo_ways.give()
    read()


def _nudge(job: Job) -> None:
    nudge(job, HOUSE)
