"""The Celery app. Everything it is told stands in the settings; the timetable stands in portal/schedule.py."""

import logging.config
import os
from typing import Any

from celery import Celery, Task
from celery.signals import setup_logging
from django.utils import timezone

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "portal.settings")


class InTheWorkshopsTime(Task):
    """The "today" of background work is the workshop's today, as that of a page is (portal/middleware.py)."""

    def __call__(self, *args: Any, **kwargs: Any) -> Any:
        from portal import clock  # models are there only once the apps are loaded

        with timezone.override(clock.zone()):
            return self.run(*args, **kwargs)


app = Celery("benchletter", task_cls=InTheWorkshopsTime)
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()


@setup_logging.connect
def keep_our_logging(**_: Any) -> None:
    """Celery would lay its own loggers over ours, and lose the filter that keeps keys out of the log."""
    from django.conf import settings

    logging.config.dictConfig(settings.LOGGING)
