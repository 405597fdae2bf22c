"""Lays out plain text as a person would type it: paragraphs filled to 72 columns, everything else left alone.

Left alone are lines that begin with `|` (the bar is taken off), `>` (somebody's own words), two spaces (sums), or http (a
broken address is no address). Lines that begin with `-` are hung.
"""

import re
from textwrap import wrap

COLUMNS = 72
QUOTED_COLUMNS = 68
_AS_IT_IS = ("|", ">", "  ", "http")


def tidy(text: str) -> str:
    """The text with filled paragraphs, at most one empty line in a row, and one line end at the end."""
    out: list[str] = []
    waiting: list[str] = []
    for line in text.splitlines():
        bare = line.rstrip()
        if not bare or bare.startswith((*_AS_IT_IS, "- ")):
            out += _filled(waiting)
            waiting = []
        if not bare:
            out.append("")
        elif bare.startswith(_AS_IT_IS):
            out.append(bare.removeprefix("|").removeprefix(" ") if bare.startswith("|") else bare)
        else:
            waiting.append(bare.strip())
    return re.sub(r"\n{3,}", "\n\n", "\n".join(out + _filled(waiting))).strip() + "\n"


def quoted(text: str) -> str:
    """Somebody's own words, each line after a `>`."""
    lines: list[str] = []
    for paragraph in text.splitlines():
        lines += wrap(paragraph, QUOTED_COLUMNS, break_long_words=False, break_on_hyphens=False) or [""]
    return "\n".join(f"> {line}".rstrip() for line in lines)


def row(what: str, amount: str, columns: int = COLUMNS - 2) -> str:
    """A line of a list of sums: words left, amount right, two spaces in front; long words go on below."""
    lines = wrap(what, columns - 14, break_long_words=False) or [""]
    lines[-1] = f"{lines[-1]:<{columns - 12}}{amount:>12}"
    return "\n".join(f"  {line}" for line in lines)


def _filled(lines: list[str]) -> list[str]:
    if not lines:
        return []
    hang = "  " if lines[0].startswith("- ") else ""
    return wrap(
        " ".join(lines), COLUMNS, subsequent_indent=hang, break_long_words=False, break_on_hyphens=False
    )
