"""Runs the project in a fresh Python with an environment of the test's choice, as a person would start it."""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

from tests.services import ROOT

KEY = "k3J9x-Lq7Zt2_" * 5
PRODUCTION = {"PUBLIC_BASE_URL": "https://repairs.example.org", "BEHIND_PROXY": "1", "SECRET_KEY": KEY}
OURS = (
    "BROKER_URL",
    "SMTP_URL",
    "SECRET_KEY",
    "DATABASE_URL",
    "DJANGO_SETTINGS_MODULE",
    "PORT",
    "DEBUG",
    "DEMO",
    "DJANGO_ALLOW_ASYNC_UNSAFE",  # set for browsers, by tests.conftest.chromium
)


def environment(var: Path, **extra: str) -> dict[str, str]:
    """The machine's environment without what the suite or the person at the keyboard has set for us."""
    rest = {name: value for name, value in os.environ.items() if name not in OURS}
    return rest | {"VAR_DIR": str(var)} | extra


def python(*arguments: str, var: Path, **extra: str) -> subprocess.CompletedProcess[str]:
    """`python manage.py ...` or `python -c ...`, run to its end."""
    return subprocess.run(
        [sys.executable, *arguments],
        cwd=ROOT,
        env=environment(var, **extra),
        capture_output=True,
        text=True,
        timeout=120,
    )


def setting(expression: str, var: Path, **extra: str) -> Any:
    """What an expression about `settings` comes to. Raises AssertionError with the error where they refuse to load."""
    code = f"import json; from portal import settings; print(json.dumps({expression}, default=str))"
    done = python("-c", code, var=var, **extra)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)
