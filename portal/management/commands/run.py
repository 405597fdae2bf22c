"""Sets up and runs the whole workshop on this machine."""

import sys
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from portal import running


class Command(BaseCommand):
    help = "Makes the state folder, migrates, loads the demo, starts every process of the Procfile, says where to look."

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            sys.exit(running.run(self.stdout.write))
        except running.CannotRun as reason:
            raise CommandError(str(reason)) from None
        except KeyboardInterrupt:
            sys.exit("Stopped before it had begun.")
