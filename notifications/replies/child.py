"""The child process that takes one message apart: `python -m notifications.replies.child SOURCE FOLDER`.

Runs with little memory and little time, and knows neither Django nor the database: a message may hold a thousand parts, parts inside
parts without end, or a text on which a pattern runs for ever. Files that came along are written into FOLDER. Prints one line of JSON:
{"whole", "text", "enclosed": [{"name", "kind", "size", "file", "inline"}], "report": {...} or null}, or {"problem": CODE}, CODE one
of parts, unreadable.
"""

import json
import sys
from dataclasses import asdict
from email import message_from_bytes
from email.message import Message
from email.policy import compat32
from pathlib import Path
from typing import Any

from jobs.bounded import bound
from notifications.replies import words
from notifications.replies.head import decoded, one_line
from notifications.replies.reports import report_in

MEMORY_BYTES = 768 * 1024**2
CPU_SECONDS = 5
MOST_PARTS = 100
MOST_FILES = 30
DEEPEST = 20
UNNAMED = "file"


class Problem(Exception):
    """The message will not be taken apart; the text is its code."""


def take_apart(raw: bytes, folder: Path) -> dict[str, Any]:
    """Read a whole message. Raises Problem."""
    try:
        message = message_from_bytes(raw, policy=compat32)
        parts = _parts(message)
        report = report_in(message)
        whole = words.text_of(message)
        return {
            "whole": whole,
            "text": words.own_words(whole),
            "enclosed": [_write(part, folder) for part in parts if _is_enclosed(part)][:MOST_FILES],
            "report": asdict(report) if report else None,
        }
    except Problem:
        raise
    except Exception as broken:  # whatever a stranger's bytes did to the parser
        raise Problem("unreadable") from broken


def _parts(message: Message) -> list[Message]:
    """All parts, outermost first, without climbing down by recursion. Raises Problem for too many, or too deep."""
    found: list[Message] = []
    waiting = [(message, 0)]
    while waiting:
        part, depth = waiting.pop()
        found.append(part)
        if len(found) > MOST_PARTS or depth > DEEPEST:
            raise Problem("parts")
        inside = part.get_payload()
        # What a forwarded message holds is its own affair: it comes along as one file.
        if isinstance(inside, list) and part.get_content_maintype() == "multipart":
            waiting += [(one, depth + 1) for one in reversed(inside) if isinstance(one, Message)]
    return found


def _is_enclosed(part: Message) -> bool:
    if part.get_content_maintype() == "multipart":
        return False
    named = part.get_content_disposition() == "attachment" or part.get_filename() is not None
    return named or part.get_content_maintype() != "text"


def _write(part: Message, folder: Path) -> dict[str, Any]:
    """Write one enclosed file under a name of our own, and say how it was called."""
    content = _bytes(part)
    file = f"{len(list(folder.iterdir()))}.part"
    (folder / file).write_bytes(content)
    return {
        "name": decoded(str(part.get_filename() or ""))[:120] or UNNAMED,
        "kind": one_line(part.get_content_type())[:80],
        "size": len(content),
        "inline": part.get_content_disposition() != "attachment",
        "file": file,
    }


def _bytes(part: Message) -> bytes:
    if part.is_multipart():  # a message, or a report's fields
        return part.as_bytes()
    content = part.get_payload(decode=True)
    return content if isinstance(content, bytes) else b""


def main(source: str, folder: str) -> None:
    bound(MEMORY_BYTES, CPU_SECONDS)
    sys.setrecursionlimit(400)
    try:
        told = take_apart(Path(source).read_bytes(), Path(folder))
    except (Problem, MemoryError, RecursionError) as problem:
        told = {"problem": str(problem) if isinstance(problem, Problem) else "parts"}
    print(json.dumps(told))


if __name__ == "__main__":
    main(*sys.argv[1:])
