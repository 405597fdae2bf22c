"""Where photographs lie on disk: below MEDIA_ROOT, never at a public address.

`incoming/` holds what was sent until it is developed; developed files are named by their content, `ab/<sha256>.jpg`, written
whole before any row names them.
"""

import hashlib
import os
import shutil
import uuid
from collections.abc import Iterable
from pathlib import Path

from django.conf import settings

LEAST_FREE = 0.10


def path(name: str) -> Path:
    """The file of a stored name. Raises ValueError for a name that leads out of the store."""
    root = Path(settings.MEDIA_ROOT).resolve()
    found = (root / name).resolve()
    if not found.is_relative_to(root):
        raise ValueError(name)
    return found


def keep_incoming(chunks: Iterable[bytes]) -> str:
    """Write an upload to `incoming/` and return its name."""
    name = f"incoming/{uuid.uuid4().hex}"
    target = path(name)
    target.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    with target.open("wb") as file:
        for chunk in chunks:
            file.write(chunk)
        file.flush()
        os.fsync(file.fileno())
    return name


def put(source: Path) -> str:
    """Move a developed file into the store under its SHA-256, whole or not at all; return its name."""
    content = source.read_bytes()
    sha = hashlib.sha256(content).hexdigest()
    name = f"{sha[:2]}/{sha}.jpg"
    write(name, content)
    return name


def write(name: str, content: bytes) -> None:
    """Write a file that is named by its content, whole or not at all; one that is there already is the same."""
    target = path(name)
    if target.exists():
        return
    target.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    half = target.with_suffix(f".{uuid.uuid4().hex}.part")
    with half.open("wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    half.rename(target)


def forget(name: str) -> None:
    if name:
        path(name).unlink(missing_ok=True)


def nearly_full() -> bool:
    """Whether the disk has too little room left to take more photographs."""
    root = Path(settings.MEDIA_ROOT)
    root.mkdir(parents=True, exist_ok=True)
    usage = shutil.disk_usage(root)
    return usage.free < usage.total * LEAST_FREE and usage.free < 2 * 1024**3
