"""Writing an entry as the text of a file: the other way round from `load`."""

import re
from collections.abc import Mapping
from typing import Any

import tomli_w

from . import parse
from .explanation import HEADINGS, MADE
from .load import cut

PARTS = tuple(key for key in HEADINGS if key not in MADE)
_HEADING = re.compile(r"^## ", re.MULTILINE)


def to_text(front: Mapping[str, Any], parts: Mapping[str, str]) -> str:
    """The whole text of a file. `front` is the front matter as plain values, `parts` Markdown by key; empty parts are left out.

    What is not right in `front` is written as it is, for `load` to say: a draft may be unfinished.
    """
    told = [f"## {HEADINGS[key]}\n\n{_body(parts[key])}\n" for key in PARTS if parts.get(key, "").strip()]
    return f"+++\n{tomli_w.dumps(front)}+++\n\n" + "\n".join(told)


def read(text: str) -> tuple[dict[str, Any], dict[str, str]]:
    """Front matter as plain values and the parts by key, of any text that `to_text` wrote or a file holds, finished or not."""
    source = parse.split(parse.NOWHERE, text)
    found, _ = cut(source)
    return parse.values(source.front), {key: unwrapped(written.markdown) for key, written in found.items()}


def unwrapped(markdown: str) -> str:
    """Paragraphs and steps each on one line, as they are typed in a text box; nothing else changes."""
    return re.sub(r"(?<=\S)[ \t]*\n(?![ \t]*(?:\n|\d+\. |- |$))[ \t]*", " ", markdown.strip())


def _body(markdown: str) -> str:
    # A line that looks like a part's heading would end the part. Moved by a space it is text, to us and to the reader.
    return _HEADING.sub(" ## ", markdown.strip())
