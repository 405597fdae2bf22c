"""Develop one photograph in a child process that is bounded in memory and time."""

import tempfile
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings
from django.utils.translation import gettext as _

from jobs import bounded
from jobs.darkroom import store

SECONDS = 30


@dataclass(frozen=True)
class Developed:
    """Size in pixels of the upright picture, and the stored file of each width."""

    width: int
    height: int
    sizes: dict[str, str]


@dataclass(frozen=True)
class Failed:
    """`sentence` tells whoever sent it why."""

    sentence: str


def develop(incoming: str) -> Developed | Failed:
    """Develop a file of the store. Never raises for what a stranger's file may hold."""
    with tempfile.TemporaryDirectory(prefix="darkroom-") as folder:
        more = ["heic"] if settings.HEIC else []
        told = bounded.ask("jobs.darkroom.develop", store.path(incoming), folder, *more, seconds=SECONDS)
        if told is None:
            return Failed(_sentence("large"))  # too much for us, whatever it is
        if "problem" in told:
            return Failed(_sentence(str(told["problem"])))
        sizes = {width: store.put(Path(folder) / name) for width, name in told["sizes"].items()}
        return Developed(told["width"], told["height"], sizes)


def _sentence(problem: str) -> str:
    if problem == "large":
        return _("This photo is too large to open. A smaller copy will do.")
    if problem == "moving":
        return _("This is a moving picture. Please send a still photo.")
    return _("This photo arrived damaged. Please send it once more.")
