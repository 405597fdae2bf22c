"""The real settings in a world of their own: a fresh state folder, a real broker, and PostgreSQL where asked for.

The first process of a run starts the servers; the processes of pytest-xdist inherit their addresses. Each of those
has its own database and its own number in the broker.
"""

import os

from tests import services

services.begin()
os.environ["BROKER_URL"] = services.broker_url(os.environ.get("PYTEST_XDIST_WORKER", ""))

from portal.settings import *  # noqa: E402, F403
from portal.settings import DATABASES, STATIC_ROOT, STORAGES, VAR_DIR  # noqa: E402

if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":
    # A file, so that threads and processes meet in it as they do in production; memory would be one connection.
    DATABASES["default"]["TEST"] = {"NAME": str(VAR_DIR / "test.sqlite3")}
STATIC_ROOT.mkdir(parents=True, exist_ok=True)
STORAGES["staticfiles"]["BACKEND"] = "django.contrib.staticfiles.storage.StaticFilesStorage"
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = True
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]  # a good hasher is slow on purpose
LETTERS_STAY_HERE = False  # a test says so when its letters have nowhere to go
