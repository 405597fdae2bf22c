"""One entry of the library, and how it is filled."""

import logging
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext

from . import draw, facts, prose, shared
from .errors import AnAskedField, BadFact, LibraryError
from .schema import Bearing, Certainty, DrawingUse, Effect, Front, Minutes, Outcome
from .shown import Picture, Section, Shown

log = logging.getLogger(__name__)


def gettext_noop(message: str) -> str:
    """Marks a text for the translators; Django's own would ask for settings while this module is imported."""
    return message


# The headings of the Markdown files, in the order in which a customer reads them. The last two keys of a Shown that are
# not written in the file, "outcomes" and "cautions", are made from the front matter and cautions.toml.
HEADINGS = {
    "happening": gettext_noop("What is happening"),
    "how_we_know": gettext_noop("How we know"),
    "how_sure": gettext_noop("How sure we can be, and when"),
    "outcomes": gettext_noop("How it may turn out"),
    "what_we_do": gettext_noop("What we do about it"),
    "not_undone": gettext_noop("What cannot be undone"),
    "cautions": gettext_noop("Take care"),
    "what_you_can_do": gettext_noop("What you can do"),
}
NEEDED = ("happening", "how_we_know", "how_sure", "what_we_do")
MADE = ("outcomes", "cautions")


@dataclass(frozen=True)
class Written:
    """A section as the file has it: Markdown, and the line on which the text begins."""

    markdown: str
    line: int


@dataclass(frozen=True)
class Explanation:
    """An explanation: front matter and sections. `key` is "mechanism/slug", from the file's place."""

    key: str
    path: Path
    front: Front
    written: dict[str, Written]
    front_text: str = ""

    @property
    def mechanism(self) -> str:
        return self.key.partition("/")[0]

    @property
    def slug(self) -> str:
        return self.key.partition("/")[2]

    @property
    def title(self) -> str:
        return prose.line_to_text(self.front.title, {})

    @property
    def short(self) -> str:
        """The entry in one sentence, with the examples' facts in it."""
        return prose.line_to_text(self.front.short, facts.check(self.fields, facts.examples(self.fields)))

    @property
    def notice(self) -> list[str]:
        """What an owner may notice, in owners' words."""
        return [prose.line_to_text(line, {}) for line in self.front.notice]

    @property
    def fields(self) -> list[AnAskedField]:
        return list(self.front.fields)

    @property
    def traits(self) -> frozenset[str]:
        """Traits that an item must have for this entry to fit. None at all: it fits every camera."""
        return frozenset(self.front.traits)

    @property
    def certainty(self) -> Certainty:
        return self.front.certainty

    @property
    def bearing(self) -> Bearing:
        return self.front.bearing

    @property
    def effect(self) -> Effect:
        return self.front.effect

    @property
    def minutes(self) -> Minutes:
        return self.front.minutes

    @property
    def outcomes(self) -> list[Outcome]:
        return list(self.front.outcomes)

    @property
    def sources(self) -> list[str]:
        return list(self.front.sources)

    def fill(self, given: Mapping[str, str | int]) -> Shown:
        """This entry for one camera. Raises MissingFact or BadFact; text facts are escaped and never markup."""
        checked = facts.check(self.fields, given)
        filling = prose.Filling(checked, shared.glossary())
        # Words are tied to their meaning at first use, so sections are made in the order in which they are read.
        sections = [self._section(key, heading, filling) for key, heading in HEADINGS.items()]
        return Shown(
            key=self.key,
            title=self.title,
            short=prose.line_to_text(self.front.short, checked),
            sections=tuple(section for section in sections if section is not None),
            glossary=tuple(filling.met.values()),
            cautions=tuple(self.front.cautions),
            facts={key: fact.kept for key, fact in checked.items()},
            picture=self._picture(checked),
        )

    def sample(self) -> Shown:
        """The entry filled with its own examples, for reading the library."""
        return self.fill(facts.examples(self.fields))

    def _section(self, key: str, heading: str, filling: prose.Filling) -> Section | None:
        html = self._made(key, filling) if key in MADE else self._told(key, filling)
        return Section(key, gettext(heading), html) if html else None

    def _told(self, key: str, filling: prose.Filling) -> SafeString | None:
        written = self.written.get(key)
        return prose.to_html(written.markdown, filling) if written else None

    def _made(self, key: str, filling: prose.Filling) -> SafeString | None:
        if key == "outcomes":
            return _as_list([prose.line_to_html(one.text, filling) for one in self.outcomes])
        cautions = [shared.cautions()[name] for name in self.front.cautions]
        return _as_list(
            [
                f"<strong>{prose.line_to_html(one.title, filling)}.</strong> {prose.line_to_html(one.text, filling)}"
                for one in cautions
            ]
        )

    def _picture(self, checked: Mapping[str, facts.Fact]) -> Picture | None:
        use = self.front.drawing
        if use is None:
            return None
        try:
            svg = draw.drawing(use.name, **drawing_params(use, checked))
        except (LibraryError, BadFact, KeyError) as error:
            # The check stops on a broken drawing, not the site: nothing depends on the drawing alone.
            log.error("%s is shown without its drawing: %s", self.key, error)
            return None
        legend = tuple(prose.line_to_text(line, checked) for line in use.legend)
        return Picture(use.name, draw.get(use.name).front.title, svg, legend)


def drawing_params(use: DrawingUse, checked: Mapping[str, facts.Fact]) -> dict[str, str | int]:
    """An entry's drawing parameters with facts in their places. A place fills the whole value: "{frame}"."""
    return {key: _param(value, checked) for key, value in use.params.items()}


def _param(value: str | int, checked: Mapping[str, facts.Fact]) -> str | int:
    place = prose.PLACE.fullmatch(str(value))
    return checked[place.group(1)].draw if place else value


def _as_list(items: list[SafeString] | list[str]) -> SafeString | None:
    if not items:
        return None
    return mark_safe("<ul>" + "".join(f"<li>{item}</li>" for item in items) + "</ul>")  # noqa: S308 - safe parts
