"""The Celery app. Everything it is told stands in the settings; the timetable stands in portal/schedule.py."""

import logging.config
import os
from typing import Any

from celery import Celery
from celery.signals import setup_logging

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "portal.settings")

app = Celery("benchletter")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()


@setup_logging.connect
def keep_our_logging(**_: Any) -> None:
    """Celery would lay its own loggers over ours, and lose the filter that keeps keys out of the log."""
    from django.conf import settings

    logging.config.dictConfig(settings.LOGGING)
