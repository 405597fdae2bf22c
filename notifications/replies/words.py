"""What a person wrote in an answer: plain text, without the letter that it quotes.

Quoted letters are found by mail-parser-reply, in all its languages. Its idea of a signature is left alone: it takes "Thanks, but ..." for
one, and a customer's words would be gone. Only the separator that RFC 3676 section 4.3 names ends a text.
"""

import re
from email.message import Message
from html.parser import HTMLParser

from mailparser_reply.constants import MAIL_LANGUAGES
from mailparser_reply.parser import EmailMessage as Quoting

MOST_LETTERS = 60_000  # of a text that is looked at; more is no letter from a person
QUOTED = re.compile(r"^\s*>")
SEPARATOR = "-- "
BREAKS = {"p", "div", "br", "tr", "li", "h1", "h2", "h3", "h4", "table", "ul", "ol", "hr", "blockquote"}
UNSEEN = {"script", "style", "head", "title", "template"}
DEEPEST = 12  # parts inside parts
# What opens something in the letter that they quote. `notifications.links` makes these addresses; here no Django is at hand.
KEYS = re.compile(r"(/(?:open|letters-off)/)[^\s/<>\"]+")


def text_of(message: Message) -> str:
    """The text of a message: its plain parts, or where there are none the HTML turned into text. Without the private link that
    a quoted letter holds: texts are kept, and nothing that we keep may open a customer's page.
    """
    return KEYS.sub(r"\1…", tidy(_text(message, 0)))


def own_words(text: str) -> str:
    """What they wrote themselves: above what they quote, and between and below it."""
    text = tidy(text)
    if not text:
        return ""
    read = Quoting(text=text, languages=[*MAIL_LANGUAGES], keep_hyphen_lists=True).read()
    begins = next(
        (part.headers for part in read.replies if part.headers), ""
    )  # "On 3 November Hester wrote:"
    above, _begins, below = read.text.partition(begins) if begins else (read.text, "", "")
    own = [_unquoted(above)]
    # Below that line, what is not marked as quoted is theirs only where quoting is marked at all.
    if any(QUOTED.match(line) for line in below.splitlines()):
        own.append(_unquoted(below))
    return _before_signature("\n\n".join(filter(None, own))).strip()


def tidy(text: str) -> str:
    """Bounded, with plain line ends, without signs that no page can show."""
    text = text[:MOST_LETTERS].replace("\r\n", "\n").replace("\r", "\n").replace("\xa0", " ")
    lines = [_shown(line).rstrip() for line in text.split("\n")]
    return re.sub(r"\n{3,}", "\n\n", "\n".join(lines)).strip()


def from_html(html: str) -> str:
    """HTML as text; quoted blocks get a ">" at each line."""
    reader = _Reader()
    reader.feed(html[: MOST_LETTERS * 10])
    reader.close()
    return reader.text()


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.lines: list[str] = [""]
        self.quotes = 0
        self.hidden = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in UNSEEN:
            self.hidden += 1
        if tag in BREAKS:
            self._break()
        if tag == "blockquote":
            self.quotes += 1
            self._break(anyway=True)

    def handle_endtag(self, tag: str) -> None:
        if tag in UNSEEN:
            self.hidden = max(0, self.hidden - 1)
        if tag == "blockquote":
            self.quotes = max(0, self.quotes - 1)
        if tag in BREAKS:
            self._break(anyway=tag in ("p", "blockquote"))

    def handle_data(self, data: str) -> None:
        if not self.hidden:
            if not self.lines[-1]:
                self.lines[-1] = "> " * self.quotes
            self.lines[-1] += re.sub(r"\s+", " ", data)

    def text(self) -> str:
        return "\n".join(line.rstrip() for line in self.lines)

    def _break(self, anyway: bool = False) -> None:
        if anyway or self.lines[-1].strip("> "):
            self.lines.append("")


def _text(part: Message, depth: int) -> str:
    if depth > DEEPEST or _is_file(part):
        return ""
    kind = part.get_content_type()
    if kind == "multipart/alternative":
        return _best([_text(one, depth + 1) for one in _inside(part)])
    if part.is_multipart():
        return "\n\n".join(filter(None, (_text(one, depth + 1) for one in _inside(part))))
    if kind == "text/plain":
        return _flowing(_decoded(part), part)
    return from_html(_decoded(part)) if kind == "text/html" else ""


def _inside(part: Message) -> list[Message]:
    """The parts of a multipart; not those of a message inside, which somebody else wrote."""
    inside = part.get_payload()
    whole = isinstance(inside, list) and part.get_content_maintype() == "multipart"
    return [one for one in inside if isinstance(one, Message)] if whole else []


def _best(texts: list[str]) -> str:
    """Of several forms of the same, the first that says something: plain text comes first (RFC 2046 section 5.1.4)."""
    return next((text for text in texts if text.strip()), "")


def _is_file(part: Message) -> bool:
    return part.get_content_disposition() == "attachment" or part.get_filename() is not None


def _decoded(part: Message) -> str:
    raw = part.get_payload(decode=True)
    if not isinstance(raw, bytes):
        return ""
    try:
        return raw.decode(part.get_content_charset() or "utf-8", errors="replace")
    except (LookupError, ValueError):  # a character set that nobody knows
        return raw.decode("utf-8", errors="replace")


def _flowing(text: str, part: Message) -> str:
    """Join the lines that were only broken to fit (format=flowed, RFC 3676 section 4)."""
    if str(part.get_param("format", "")).lower() != "flowed":
        return text
    joined: list[str] = []
    for line in text.replace("\r\n", "\n").split("\n"):
        line = line.removeprefix(" ")
        goes_on = joined and joined[-1].endswith(" ") and joined[-1] != SEPARATOR
        if goes_on and not QUOTED.match(line) and not QUOTED.match(joined[-1]):
            joined[-1] += line
        else:
            joined.append(line)
    return "\n".join(joined)


def _unquoted(text: str) -> str:
    return "\n".join(line for line in text.splitlines() if not QUOTED.match(line)).strip()


def _before_signature(text: str) -> str:
    """What stands before a separator; the separator may have lost its last blank on the way."""
    lines = text.splitlines()
    for place, line in enumerate(lines):
        if place and line.rstrip() == SEPARATOR.rstrip():
            return "\n".join(lines[:place])
    return text


def _shown(line: str) -> str:
    return "".join(sign if sign.isprintable() else " " if sign == "\t" else "" for sign in line)
