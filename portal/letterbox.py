"""A mail server on this machine that delivers nothing: it keeps each message byte for byte in a folder.

For the demo and for development. Each letter is one file, `<UTC time>-<n>.eml`.
"""

import asyncio
import itertools
import os
from datetime import UTC, datetime
from pathlib import Path

from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP, Envelope, Session

LARGEST = 20_000_000  # bytes; a letter with a few photographs is far below
numbers = itertools.count(1)


class Keeper:
    """Handler of aiosmtpd: answers 250 only when the letter is on disk."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    async def handle_DATA(self, server: SMTP, session: Session, envelope: Envelope) -> str:  # noqa: N802
        name = await asyncio.to_thread(keep, self.folder, envelope.original_content or b"")
        return f"250 kept as {name}"


def keep(folder: Path, message: bytes, kind: str = "eml") -> str:
    """Writes the message beside its place, then moves it there: who looks into the folder sees whole letters only."""
    folder.mkdir(parents=True, exist_ok=True)
    name = f"{datetime.now(UTC):%Y%m%dT%H%M%S.%fZ}-{next(numbers)}.{kind}"
    half = folder / f".{name}.part"
    with half.open("xb") as file:
        file.write(message)
        file.flush()
        os.fsync(file.fileno())
    half.rename(folder / name)
    return name


def open_at(folder: Path, port: int) -> Controller:
    """The server, not started yet. On the loopback address only: nobody else may post here."""
    return Controller(Keeper(folder), hostname="127.0.0.1", port=port, data_size_limit=LARGEST)
