"""`.po` files made into what Django reads."""

import hashlib
import io
import os
from pathlib import Path

from babel.messages import Catalog
from babel.messages.mofile import write_mo

from portal.words.files import ROOMS, TONGUES, WRITTEN_IN, is_translated, po_file, read, words_of


def compiled(root: Path, into: Path) -> list[str]:
    """Folders for LOCALE_PATHS that say what the `.po` files under `root` say, compiled into `into` where they do not yet.

    Safe while other processes do the same: files are put in place whole, and all would write the same.
    """
    folders = [into / room for room in ROOMS]
    digest = _digest(root)
    stamp = into / "compiled-from"
    if stamp.is_file() and stamp.read_text() == digest:
        return [str(folder) for folder in folders]
    into.parent.mkdir(mode=0o700, parents=True, exist_ok=True)  # the state folder, for our eyes only
    for room, folder in zip(ROOMS, folders, strict=True):
        for tongue in TONGUES:
            _put(folder / tongue / "LC_MESSAGES" / "django.mo", _machine(po_file(root, room, tongue), tongue))
        _put(folder / WRITTEN_IN / "LC_MESSAGES" / "django.mo", _as_written(po_file(root, room, TONGUES[0])))
    _put(stamp, digest.encode())  # last, so that what was cut short is done again
    return [str(folder) for folder in folders]


def _machine(path: Path, tongue: str) -> bytes:
    catalogue = read(path, tongue)
    for message in words_of(catalogue):
        if not is_translated(message):  # Babel would keep two empty plural forms, and nothing would be shown
            catalogue.delete(message.id, message.context)
    return _packed(catalogue)


def _as_written(path: Path) -> bytes:
    """Every text of `path` as its own translation: what no catalogue has is looked for in five of Django's English ones, each time."""
    catalogue = Catalog(locale=WRITTEN_IN)
    for message in words_of(read(path, TONGUES[0])):
        catalogue.add(message.id, message.id, context=message.context)
    return _packed(catalogue)


def _packed(catalogue: Catalog) -> bytes:
    held = io.BytesIO()
    write_mo(held, catalogue)
    return held.getvalue()


def _digest(root: Path) -> str:
    summed = hashlib.sha256(Path(__file__).read_bytes())
    for room in ROOMS:
        for tongue in TONGUES:
            path = po_file(root, room, tongue)
            summed.update(path.read_bytes() if path.exists() else b"")
            summed.update(f"\0{room}\0{tongue}\0".encode())
    return summed.hexdigest()


def _put(path: Path, content: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    fresh = path.with_name(f"{path.name}.{os.getpid()}")
    fresh.write_bytes(content)
    fresh.replace(path)
