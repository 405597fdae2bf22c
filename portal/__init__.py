"""The Django project and its pages.

Importing anything below this package first puts the bundled SQLite in place and then the Celery app, so that no
process, whatever started it, meets the system's SQLite or a task without its app.
"""

from portal import sqlite  # isort: skip  (has to come before anything that opens a database)
from portal.celery import app as celery_app

__all__ = ["celery_app", "sqlite"]
