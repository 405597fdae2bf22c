"""From an entry's Markdown to safe HTML, with this camera's facts, ringed figures and glossary words put in.

Facts are put in after the Markdown has been read, and escaped, so that nothing an item or a person brings is ever
markup. Only paragraphs, lists and emphasis exist; links, pictures and HTML are plain characters.
"""

import re
from collections.abc import Mapping, MutableMapping, Sequence
from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import Any

from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe
from markdown_it import MarkdownIt
from markdown_it.renderer import RendererHTML
from markdown_it.token import Token

from .facts import Fact, curled
from .shared import Glossary, Word

PLACE = re.compile(r"\{([a-z][a-z0-9_]*(?:\.also)?|mark:[1-9])\}")
_LIST_GAP = re.compile(r"\n\n(?=- |[1-9]\d?\. )")
_MARK = re.compile(r"\{mark:([1-9])\}")


@dataclass
class Filling:
    """What one pass over an entry carries along: the facts, the glossary, and which words it has met."""

    facts: Mapping[str, Fact]
    glossary: Glossary
    met: dict[str, Word] = field(default_factory=dict)


class _Renderer(RendererHTML):
    """Renders text with places filled; all else as usual."""

    def text(self, tokens: Sequence[Token], idx: int, options: Any, env: MutableMapping[str, Any]) -> str:
        return _fill_text(tokens[idx].content, env["filling"])


def _markdown() -> MarkdownIt:
    reader = MarkdownIt("zero", {"typographer": True}, renderer_cls=_Renderer)
    return reader.enable(["list", "emphasis", "smartquotes"])


_reader = _markdown()


def to_html(markdown: str, filling: Filling) -> SafeString:
    """Render one section. Raises KeyError for a place whose field does not exist (the check finds those first)."""
    return mark_safe(str(_reader.render(markdown.strip(), {"filling": filling})).strip())  # noqa: S308 - built from escaped parts


def line_to_html(text: str, filling: Filling) -> SafeString:
    """Render one line without a paragraph around it: an outcome, a caution, a caption."""
    return mark_safe(str(_reader.renderInline(text, {"filling": filling})))  # noqa: S308 - built from escaped parts


def line_to_text(text: str, facts: Mapping[str, Fact]) -> str:
    """Fill one line that stays plain text: a title or the sentence in short."""
    return PLACE.sub(lambda place: _plain_place(place.group(1), facts), curled(text))


def _plain_place(name: str, facts: Mapping[str, Fact]) -> str:
    return f"({name[5:]})" if name.startswith("mark:") else _said(name, facts)


def _said(name: str, facts: Mapping[str, Fact]) -> str:
    """What stands at the place of a field: its text, or its second text at {field.also}."""
    key, _, also = name.partition(".")
    return facts[key].also if also else facts[key].text


def _fill_text(content: str, filling: Filling) -> str:
    parts = PLACE.split(content)
    pieces = [_with_words(parts[0], filling)]
    for name, after in zip(parts[1::2], parts[2::2], strict=True):
        pieces += [_place(name, filling), _with_words(after, filling)]
    return "".join(pieces)


def _place(name: str, filling: Filling) -> str:
    if name.startswith("mark:"):
        return ringed(name[5:])
    return _MARK.sub(lambda mark: ringed(mark.group(1)), escape(_said(name, filling.facts)))


def ringed(figure: str) -> str:
    """A ringed figure, as it stands on the photograph or the drawing."""
    return f'<b class="n">{escape(figure)}</b>'


def _with_words(text: str, filling: Filling) -> str:
    """Escape text, and tie the first use of each trade word to its meaning."""
    pieces, at = [], 0
    for match in filling.glossary.pattern.finditer(text):
        key = filling.glossary.forms[match.group().lower()]
        if key in filling.met:
            continue
        filling.met[key] = filling.glossary.words[key]
        pieces += [
            escape(text[at : match.start()]),
            f'<a class="word" href="#word-{key}">{escape(match.group())}</a>',
        ]
        at = match.end()
    return "".join([*pieces, escape(text[at:])])


class _PlainText(HTMLParser):
    """Turns the few elements that we make back into lines of text."""

    def __init__(self) -> None:
        super().__init__()
        self.lines: list[str] = []
        self.bullet = ""
        self.count: int | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in {"ol", "ul"}:
            self.count = 0 if tag == "ol" else None
        if tag == "li":
            self.count = None if self.count is None else self.count + 1
            self.bullet = "- " if self.count is None else f"{self.count}. "
        if tag in {"p", "li"}:
            self.lines.append("")
        if ("class", "n") in attrs:
            self.handle_data("(")

    def handle_endtag(self, tag: str) -> None:
        if tag == "b":
            self.handle_data(")")

    def handle_data(self, data: str) -> None:
        if not self.lines:
            self.lines.append("")
        if data.strip():
            self.lines[-1] += self.bullet + data.replace("\n", " ")
            self.bullet = ""
        else:
            self.lines[-1] += " "


def to_text(html: str) -> str:
    """The same words without markup: paragraphs apart, steps numbered, ringed figures in brackets."""
    parser = _PlainText()
    parser.feed(html)
    parser.close()
    told = "\n\n".join(line.strip() for line in parser.lines if line.strip())
    return _LIST_GAP.sub("\n", told)
