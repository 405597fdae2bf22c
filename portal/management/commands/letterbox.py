"""Runs the letterbox until it is told to stop."""

import signal
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from portal import letterbox


class Command(BaseCommand):
    help = "Keeps every letter that is sent to this machine's letterbox as a file in VAR_DIR/letterbox."

    def handle(self, *args: Any, **options: Any) -> None:
        signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGTERM, signal.SIGINT})
        controller = letterbox.open_at(settings.LETTERBOX_DIR, settings.LETTERBOX_PORT)
        try:
            controller.start()
        except OSError as error:
            raise CommandError(
                f"Port {settings.LETTERBOX_PORT} is in use ({error.strerror}). Choose another with LETTERBOX_PORT=..."
            ) from error
        self.stdout.write(f"letterbox listens on 127.0.0.1:{settings.LETTERBOX_PORT}")
        signal.sigwait({signal.SIGTERM, signal.SIGINT})
        controller.stop()
