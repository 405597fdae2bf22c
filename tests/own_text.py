"""Texts of explanations for tests: a shipped one with something else in it, or one of the workshop's own."""

from typing import Any

from jobs.library import load, write

COUNTER = "counter/stops-at-one-number"
OWN = "counter/skips-a-number"


def raw(key: str = COUNTER) -> tuple[dict[str, Any], dict[str, str]]:
    """A shipped entry's front matter as plain values, and its parts."""
    return write.read((load.FOLDER / f"{key}.md").read_text(encoding="utf-8"))


def text(key: str = COUNTER, **changes: Any) -> str:
    """The text of a shipped entry with some of its front matter or parts changed; None takes a thing out."""
    front, parts = raw(key)
    parts |= {name: value for name, value in changes.items() if name in write.PARTS}
    front |= {name: value for name, value in changes.items() if name not in write.PARTS}
    return write.to_text(
        {name: value for name, value in front.items() if value is not None},
        {name: value for name, value in parts.items() if value is not None},
    )


def own_text(**changes: Any) -> str:
    """A text that no shipped entry has: its phrases are its own."""
    own = {
        "title": "Why does the counter skip a number?",
        "notice": [
            "It jumps from three to five",
            "Two numbers went by at once",
            "The counter is one ahead of me",
        ],
        "bench_words": ["counter skips", "ratchet worn"],
    }
    return text(**(own | changes))
