"""A message that came: its file first, then its row. A crash between leaves a file that nobody asks for; the road brings it again."""

import hashlib
import logging

from django.utils.translation import gettext as _

from jobs.darkroom import store
from jobs.waking import wake
from notifications.models import Incoming
from notifications.replies import head as heads

log = logging.getLogger(__name__)

MOST_BYTES = 25 * 1024 * 1024
FOLDER = "letters-in"
State = Incoming.State


def keep(raw: bytes, via: str, *, wakes: bool = True) -> Incoming:
    """Keep a whole message, once by whatever road, and wake the worker that takes it to its job (`wakes`: unless the caller takes it)."""
    if len(raw) > MOST_BYTES:
        return keep_head(raw, via, len(raw))
    try:
        head = heads.read(raw)
    except heads.TooMuch:
        return _keep_aside(raw, via, "too many header fields")
    incoming, is_new = _note(head, raw, via, len(raw), State.NEW, "")
    if is_new and wakes:
        tell(incoming)
    return incoming


def keep_head(raw: bytes, via: str, size: int, why: str = "") -> Incoming:
    """Keep only the head of a message that is too large, or that cannot be had, and set it aside. `size` of the whole, in bytes."""
    log.warning("a message of %d bytes came by %s: only its head is kept", size, via)
    raw = raw[: heads.MOST_BYTES]
    try:
        head = heads.read(raw)
    except heads.TooMuch:
        return _keep_aside(raw, via, "too many header fields")
    return _note(head, heads.head_bytes(raw), via, size, State.ASIDE, why or _too_large())[0]


def tell(incoming: Incoming) -> None:
    """Wake a worker for it; a sweep finds it otherwise."""
    from notifications import tasks

    wake(tasks.take_reply, incoming.pk)


def _too_large() -> str:
    return _("It is larger than 25 MB, so only its head is kept here.")


def _keep_aside(raw: bytes, via: str, why: str) -> Incoming:
    nobody = heads.Head((), "", "", (), "", ())
    log.warning("a message came by %s that cannot be read: %s", via, why)
    return _note(nobody, raw, via, len(raw), State.ASIDE, _("Its head cannot be read."))[0]


def _note(head: heads.Head, raw: bytes, via: str, size: int, state: State, why: str) -> tuple[Incoming, bool]:
    """The row, and whether it is new. The unique fingerprint decides between two roads that bring it in the same moment."""
    fingerprint = heads.fingerprint(head, raw)
    if known := Incoming.objects.filter(fingerprint=fingerprint).first():
        return known, False
    row = {
        "state": state,
        "why": why,
        "via": via,
        "from_address": head.from_address,
        "subject": head.subject,
        "file": write(raw),
        "size": size,
    }
    return Incoming.objects.get_or_create(fingerprint=fingerprint, defaults=row)


def write(raw: bytes) -> str:
    """Write a message below MEDIA_ROOT under its own SHA-256, whole or not at all; return its name there. Never served."""
    name = f"{FOLDER}/{hashlib.sha256(raw).hexdigest()}.eml"
    store.write(name, raw)
    return name
