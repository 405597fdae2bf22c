"""What a customer notices, as mechanisms and explanations: from their own words, or from a sentence that they pressed.

Reads the library, never rows: the caller gives the collection (`jobs.collection.entries()`). `jobs.covering` judges.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.utils.translation import gettext as _

from jobs.covering import Heard, Noticed, Promise, Reason
from jobs.library.explanation import Explanation
from jobs.library.finding import Hit, rank
from jobs.library.symptoms import sentences, symptoms_of
from jobs.words import Mechanism

MOST_CHOICES = 5  # sentences offered for one promise
ALIKE = 0.9  # what share of the best score an explanation of the best mechanism must have to be meant too

_ACCIDENT_SYMPTOMS = {"dropped": Reason.FELL, "got-wet": Reason.WET}
_ACCIDENT_ENTRIES = {
    "accident/dropped": Reason.FELL,
    "accident/fresh-water": Reason.WET,
    "accident/salt-water": Reason.WET,
    "accident/sand": Reason.WET,
    "accident/heat": Reason.HEAT,
}
# What the symptoms do not listen for, or too widely: a lens that is taken off opens nothing, and what we did is no accident.
# Tried on sentences of bare words, in small letters.
_THING = r"(it|everything|the \w+( \w+)?|my \w+)"
_SOMEBODY = r"(somebody|someone|friend|mate|uncle|brother|father|dad|son|husband|wife|neighbour|another \w+)"
_WORK = r"(opened|unscrewed|repaired|mended|fixed|cleaned|oiled|tried|had a (go|look))"
_ACCIDENT_WORDS = [
    (Reason.FELL, r"\b(dropped|knocked|stood on|sat on|trod)\b"),
    (Reason.FELL, r"\bfell (off|from|out|down|over|on|onto)\b"),
    (Reason.WET, r"\b(spil\w+|splash\w*|soak\w*|drench\w*|downpour|in the (sea|rain)|sand|dunes)\b"),
    (Reason.HEAT, r"\b(hot car|radiator|in the car all day|oven|dashboard)\b"),
    (Reason.OPENED, rf"(?<!you )\b(took|take|taken|had) {_THING} (apart|to bits|to pieces)\b"),
    (Reason.OPENED, r"(?<!you )\b(took|had|with) the (top|front|bottom|base|cover)( \w+)? off\b"),
    (Reason.OPENED, r"(?<!you )\b(dismantled|disassembled|regreased|lubricated)\b"),
    (
        Reason.OPENED,
        r"(?<!you )\b(unscrewed|oiled|greased|sprayed) (it|the|my)\b(?! (wire|cable|filter|release))",
    ),
    (Reason.OPENED, rf"\b{_SOMEBODY}( has| had)? {_WORK}\b"),
]
_ACCIDENTS = [(reason, re.compile(pattern)) for reason, pattern in _ACCIDENT_WORDS]


@dataclass(frozen=True, slots=True)
class Choice:
    """A sentence to press instead of typing. `key` names it in a form: "12.transport/lever-turns-freely.0"."""

    key: str
    text: str
    cover_pk: int
    mechanism: str
    explanation: str = ""

    def noticed(self) -> Noticed:
        like = frozenset({self.explanation} - {""})
        return Noticed((Heard(self.mechanism, 1.0),), like, chosen=self.cover_pk)


def from_words(text: str, traits: Iterable[str], entries: Mapping[str, Explanation]) -> Noticed:
    """What somebody tells, as mechanisms best first. An accident that they tell of is noted beside it.

    `traits`: those the item is known to have (none: nothing known); an explanation that they rule out is left out.
    """
    has = frozenset(traits)
    hits = [hit for hit in rank(text, has, entries) if not has or hit.entry.traits <= has]
    accident = accident_in(text) or (_accident_of(hits[0].entry) if hits else None)
    heard = _mechanisms(hits)
    return Noticed(heard, _like(heard, hits), accident)


def of_accident(pressed: str) -> Noticed | None:
    """What one of `accident_choices()` says; None for anything else."""
    return Noticed(accident=Reason(pressed)) if pressed in accident_choices() else None


def accident_choices() -> dict[str, str]:
    """What only a look can settle, as sentences to press: value of a form -> sentence."""
    return {
        Reason.FELL.value: _("It fell, or had a knock"),
        Reason.WET.value: _("It got wet, or met sand or salt"),
        Reason.OPENED.value: _("Somebody else has had it open"),
    }


def _accident_of(entry: Explanation) -> Reason | None:
    return (
        _ACCIDENT_ENTRIES.get(entry.key, Reason.ACCIDENT) if entry.mechanism == Mechanism.ACCIDENT else None
    )


def accident_in(text: str) -> Reason | None:
    """What happened to the item, where the words tell of a fall, water, heat or somebody else's work."""
    told = symptoms_of(text)
    found = next((reason for symptom, reason in _ACCIDENT_SYMPTOMS.items() if symptom in told), None)
    heard = sentences(text)
    words = (reason for reason, said in _ACCIDENTS if any(said.search(sentence) for sentence in heard))
    return found or next(words, None)


def choices(
    promises: Iterable[Promise],
    traits: Iterable[str],
    entries: Mapping[str, Explanation],
    most: int = MOST_CHOICES,
) -> list[Choice]:
    """At most `most` sentences for each promise, in its order, none twice: what its own explanations say one may notice.

    Where a promise rests on none, one sentence of each explanation of its mechanism that fits the item. What was named as not
    covered without an explanation is offered under its own name.
    """
    has, seen, found = frozenset(traits), set[str](), list[Choice]()
    for promise in promises:
        fresh = [each for each in _of(promise, has, entries) if each.text not in seen][:most]
        seen |= {each.text for each in fresh}
        found += fresh
    return found


def pressed(key: str, offered: Iterable[Choice]) -> Noticed | None:
    """What the choice of this key says; None when it was not offered."""
    return next((each.noticed() for each in offered if each.key == key), None)


def _of(promise: Promise, has: frozenset[str], entries: Mapping[str, Explanation]) -> list[Choice]:
    own = [entries[key] for key in sorted(promise.explanations) if key in entries]
    if own:
        in_turn = sorted(
            (n, place, line) for place, entry in enumerate(own) for n, line in enumerate(entry.notice)
        )
        return [_choice(promise, own[place], n, line) for n, place, line in in_turn]
    if promise.until is None:
        return [Choice(f"{promise.pk}", promise.what, promise.pk, promise.mechanism)]
    fitting = [
        entry
        for entry in entries.values()
        if entry.mechanism == promise.mechanism and (not has or entry.traits <= has)
    ]
    # The more particular before the general; without the entry's key, for nobody wrote down which fault it was.
    fitting.sort(key=lambda entry: (-len(entry.traits), entry.key))
    return [_choice(promise, entry, 0, entry.notice[0]) for entry in fitting]


def _choice(promise: Promise, entry: Explanation, n: int, line: str) -> Choice:
    own = entry.key if entry.key in promise.explanations else ""
    return Choice(f"{promise.pk}.{entry.key}.{n}", line, promise.pk, promise.mechanism, own)


def _mechanisms(hits: list[Hit]) -> tuple[Heard, ...]:
    """Each mechanism with the score of its best explanation, best first."""
    best: dict[str, float] = {}
    for hit in hits:
        best.setdefault(hit.entry.mechanism, hit.score)
    return tuple(Heard(mechanism, score) for mechanism, score in best.items())


def _like(heard: tuple[Heard, ...], hits: list[Hit]) -> frozenset[str]:
    """Explanations of the best mechanism that are meant: its best one, and those nearly as good."""
    return frozenset(
        hit.entry.key
        for hit in hits
        if hit.entry.mechanism == heard[0].mechanism and hit.score >= ALIKE * heard[0].score
    )
