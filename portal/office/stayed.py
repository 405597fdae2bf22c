"""Which letters count as sent and only stayed on this machine.

Where a workshop has no mailbox its letters go into the letterbox (`portal.letterbox`), where nobody reads them. Whether one did is
looked up there, so that the answer stays true once there is a mailbox.
"""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path

from django.conf import settings

from jobs.words import Way
from notifications.models import Letter

AROUND = timedelta(minutes=2)  # between the letterbox's note of the time and ours
HEAD = 32 * 1024  # bytes; the fields of a letter's head come first


def note_stayed(letters: Sequence[Letter]) -> None:
    """Sets `stayed` of each. One look into the folder; of the letters in it only those of the same minutes are read.

    False of all in the demo, whose letters are meant to stay.
    """
    sent = [letter for letter in letters if not settings.DEMO and _was_sent(_outer(letter))]
    kept = sorted(settings.LETTERBOX_DIR.glob("*.eml")) if sent else []
    stayed = {letter.pk for letter in sent if kept and _lies_in(kept, _outer(letter))}
    for letter in letters:
        letter.stayed = letter.pk in stayed


def _outer(letter: Letter) -> Letter:
    """What it went inside of, or itself."""
    return letter.carried_by or letter


def _was_sent(letter: Letter) -> bool:
    return letter.channel == Way.EMAIL and letter.state == Letter.State.SENT and letter.sent_at is not None


def _lies_in(kept: list[Path], letter: Letter) -> bool:
    assert letter.sent_at
    first, last = _name(letter.sent_at - AROUND), _name(letter.sent_at + AROUND)
    wanted = f"\nMessage-ID: {letter.message_id}".encode()
    return any(wanted in _head(path) for path in kept if first <= path.name[: len(first)] <= last)


def _name(moment: datetime) -> str:
    """How the name of a letter of that second begins."""
    return f"{moment.astimezone(UTC):%Y%m%dT%H%M%S}"


def _head(path: Path) -> bytes:
    """b"" where it has gone meanwhile."""
    try:
        with path.open("rb") as file:
            return file.read(HEAD)
    except FileNotFoundError:
        return b""
