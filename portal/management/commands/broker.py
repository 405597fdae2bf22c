"""Becomes the Valkey server that `manage.py run` has prepared."""

import os
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from portal import broker


class Command(BaseCommand):
    help = "Runs this house's own Valkey server, as configured in VAR_DIR/valkey."

    def handle(self, *args: Any, **options: Any) -> None:
        conf = settings.VAR_DIR / "valkey" / "valkey.conf"
        if not conf.exists():
            raise CommandError("There is no VAR_DIR/valkey/valkey.conf yet. `manage.py run` writes it.")
        os.execv(broker.program(), ["valkey-server", str(conf)])  # noqa: S606  (no shell is the point)
