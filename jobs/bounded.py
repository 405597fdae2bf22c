"""A stranger's bytes are read by a child process that is bounded in memory and time, and answers with one line of JSON.

Both sides stand here: `ask` starts such a child and waits for it, `bound` is the first thing that it does. No Django, so that a
child starts fast and holds neither settings nor a database.
"""

import json
import resource
import subprocess
import sys
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent  # where a child finds our packages


def ask(module: str, *arguments: str | Path, seconds: float) -> dict[str, Any] | None:
    """What `python -m MODULE ARGUMENTS` prints. None: it ran out of `seconds`, or was ended by its own bounds, whatever it read."""
    command = [sys.executable, "-m", module, *map(str, arguments)]
    try:
        done = subprocess.run(command, cwd=ROOT, capture_output=True, timeout=seconds, check=False)
        told: dict[str, Any] = json.loads(done.stdout)
    except (subprocess.TimeoutExpired, json.JSONDecodeError):
        return None
    return told


def bound(memory_bytes: int, cpu_seconds: int) -> None:
    """Bound this process, before a single byte is read: more memory is a MemoryError, more time is its end. It leaves no core."""
    resource.setrlimit(resource.RLIMIT_AS, (memory_bytes, memory_bytes))
    resource.setrlimit(resource.RLIMIT_CPU, (cpu_seconds, cpu_seconds))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
