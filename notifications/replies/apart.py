"""Take a kept message apart in a child process that is bounded in memory and time (`child`)."""

from dataclasses import dataclass
from pathlib import Path

from jobs import bounded
from notifications.replies.reports import Report

SECONDS = 12


class Unreadable(Exception):
    """It could not be taken apart. `too_much`: it holds more parts, or needs more memory or time, than any letter from a person."""

    def __init__(self, too_much: bool) -> None:
        super().__init__("too much" if too_much else "unreadable")
        self.too_much = too_much


@dataclass(frozen=True)
class Enclosed:
    """A file that came along: its name as they called it, and where it lies for now. `size` in bytes."""

    name: str
    kind: str
    size: int
    file: Path
    inline: bool


@dataclass(frozen=True)
class Apart:
    """`whole` is all its text, `text` what they wrote themselves."""

    whole: str
    text: str
    enclosed: list[Enclosed]
    report: Report | None


def take_apart(source: Path, folder: Path) -> Apart:
    """Read the message; its files are written into `folder`. Raises Unreadable, and nothing else for what a stranger's bytes hold."""
    told = bounded.ask("notifications.replies.child", source, folder, seconds=SECONDS)
    if told is None:
        raise Unreadable(too_much=True)
    if "problem" in told:
        raise Unreadable(too_much=told["problem"] == "parts")
    return Apart(
        told["whole"],
        told["text"],
        [Enclosed(**{**one, "file": folder / one["file"]}) for one in told["enclosed"]],
        Report(**told["report"]) if told["report"] else None,
    )
