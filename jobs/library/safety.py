"""Nobody is asked to do what could hurt them or their camera: hazards have their cautions, and an owner's steps no unsafe verb."""

import re
from collections.abc import Iterator

from . import shared
from .errors import Problem
from .explanation import Explanation
from .texts import front_line, outside, pieces, sentences, texts

# What an owner is never asked to do, unless the sentence forbids it ("Do not oil it").
UNSAFE = re.compile(
    r"\b(open|unscrew|dismantle|disassemble|take (?:it |the \w+ )?apart|take off|remove|pry|prise|lever up|oil|grease|"
    r"lubricate|spray|wipe|rinse|wash|scrape|solvent|alcohol|naphtha|acetone|force|push hard|pull hard|press hard|knock|"
    r"tap|hit|shake|bend|heat|warm|freeze|drill|cut|poke|tweezers|screwdriver|pliers)\b",
    re.IGNORECASE,
)
FORBIDS = re.compile(r"\b(?:do not|don't|never|without|cannot)\b[^,;]*$", re.IGNORECASE)
SAFE = re.compile(
    r"\bopen the film door\b|\bfilm door still open\b|\bwide open\b|"
    r"\btake off the (?:lens cap|lens hood|case)\b|\bwash your hands\b",
    re.IGNORECASE,
)


def cautions(entry: Explanation) -> Iterator[Problem]:
    line = front_line(entry, "cautions")
    named = set(entry.front.cautions)
    for key in sorted(named - set(shared.cautions())):
        yield Problem(entry.path, line, f"there is no caution called {key!r}")
    for at, text in texts(entry):
        for caution in shared.cautions().values():
            if caution.key not in named and caution.is_called_for_by(text):
                yield Problem(
                    entry.path, at, f"a hazard without its caution: name {caution.key!r} in cautions"
                )
    if ("what_you_can_do" in entry.written or entry.front.check) and "never-open" not in named:
        yield Problem(entry.path, line, "there are steps for the owner, so cautions must name 'never-open'")


def steps(entry: Explanation) -> Iterator[Problem]:
    written = entry.written.get("what_you_can_do")
    if written and not re.search(r"^1\. ", written.markdown, re.MULTILINE):
        yield Problem(entry.path, written.line, "what an owner can do must be numbered steps")
    told = list(pieces(written)) if written else []
    for line, text in [*told, *outside(entry)]:
        for sentence in sentences(text):
            for verb in unsafe_verbs(sentence):
                yield Problem(entry.path, line, f"an unsafe verb in an owner's step: {verb!r}")


def unsafe_verbs(sentence: str) -> list[str]:
    """Unsafe verbs that the sentence asks for. One is let off when the same clause forbids it before naming it."""
    told = SAFE.sub("", sentence)
    return [verb.group() for verb in UNSAFE.finditer(told) if not FORBIDS.search(told[: verb.start()])]
