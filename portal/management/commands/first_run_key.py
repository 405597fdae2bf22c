"""Prints the one-time key of a workshop that is not set up yet, where nobody watched `manage.py run` start."""

from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from jobs.models import Workshop
from portal import state


class Command(BaseCommand):
    help = "Prints where to set up this workshop, and the one-time key for it."

    def handle(self, *args: Any, **options: Any) -> None:
        if Workshop.objects.current() is not None:
            raise CommandError("This workshop has been set up already.")
        self.stdout.write(f"{settings.PUBLIC_BASE_URL}/first-run/ {state.first_run_key()}")
