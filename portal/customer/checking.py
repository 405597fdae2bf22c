"""Before you post it: a look from outside that may make the booking needless, offered once between the form and the job.

The page carries what it offered in hidden fields, so that nothing is kept about somebody who goes away; what comes back is
believed only where the library really has such a check.
"""

import logging
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from django import forms
from django.http import QueryDict
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from jobs import collection
from jobs.actions.booking import Looked
from jobs.library import Explanation, facts, prose
from jobs.library.offering import MOST, can_offer, offers
from jobs.library.shared import Glossary
from jobs.words import LookedAnswer
from portal.customer.kinds import may_have

log = logging.getLogger(__name__)
SETTLED = "settled"
# Nothing here leads away from the form, so no word is tied to its meaning; the entry's own page does that.
NO_WORDS = Glossary({}, {}, re.compile(r"(?!)"))
ANSWERS = [
    (SETTLED, _lazy("That was it")),
    (LookedAnswer.SAME, _lazy("Still the same")),
    (LookedAnswer.NOT_TRIED, _lazy("I would rather not try")),
]


class ChecksForm(forms.Form):
    """One question for each check that was offered, in its order: what came of it."""

    use_required_attribute = False

    def __init__(self, entries: list[Explanation], data: QueryDict | None = None) -> None:
        super().__init__(data, prefix="look")
        for n, _entry in enumerate(entries, start=1):
            self.fields[str(n)] = forms.ChoiceField(
                label=_("What came of it?"),
                choices=ANSWERS,
                widget=forms.RadioSelect,
                error_messages={"required": _("Choose one. “I would rather not try” is fine.")},
            )


@dataclass(frozen=True)
class Said:
    """A check in words: `ask` and `settled` are plain text, `steps` are safe HTML with the drawing's marks as ringed figures."""

    ask: str
    steps: list[SafeString]
    settled: str


@dataclass(frozen=True)
class Check:
    """One check as the page shows it."""

    entry: Explanation
    said: Said
    drawing: SafeString | None
    field: forms.BoundField


@dataclass(frozen=True)
class Checks:
    """What is offered, and its form: bound where answers came back with it."""

    entries: list[Explanation]
    form: ChecksForm

    @classmethod
    def new(cls, entries: list[Explanation]) -> "Checks":
        return cls(entries, ChecksForm(entries))

    def __iter__(self) -> Iterator[Check]:
        drawn: set[str] = set()
        for n, entry in enumerate(self.entries, start=1):
            check = self._check(n, entry)
            # The very same drawing stands above already; its ids may be in a page once.
            yield replace(check, drawing=None) if check.drawing in drawn else check
            drawn.add(str(check.drawing))

    def __len__(self) -> int:
        return len(self.entries)

    def _check(self, n: int, entry: Explanation) -> Check:
        picture = entry.sample().picture
        return Check(entry, said_of(entry), picture.html if picture else None, self.form[str(n)])

    def settled(self) -> Explanation | None:
        """The check that settled it, the first where two are said to. Asked of a valid form."""
        return next((entry for entry, answer in self._answers() if answer == SETTLED), None)

    def looked(self) -> list[Looked]:
        """What goes with the job."""
        return [
            Looked(entry.key, said_of(entry).ask, LookedAnswer(answer)) for entry, answer in self._answers()
        ]

    def _answers(self) -> list[tuple[Explanation, str]]:
        return [(entry, self.form.cleaned_data[str(n)]) for n, entry in enumerate(self.entries, start=1)]


def said_of(entry: Explanation) -> Said:
    """The check of an entry that has one, with the entry's own examples for facts, as in the library."""
    check = entry.front.check
    assert check is not None, entry.key
    known = facts.check(entry.fields, facts.examples(entry.fields))
    steps = [prose.line_to_html(step, prose.Filling(known, NO_WORDS)) for step in check.steps]
    return Said(prose.line_to_text(check.ask, known), steps, prose.line_to_text(check.settled, known))


def to_offer(story: str, kind: str) -> Checks | None:
    """What to look at first, for a story about this kind of camera; mostly nothing."""
    try:
        found = offers(story, may_have(kind), collection.entries())
    except Exception:  # a look is a courtesy: whatever is wrong with the search, a camera can be booked in
        log.exception("no look could be offered before booking")
        return None
    return Checks.new(found) if found else None


def came_back(sent: QueryDict) -> Checks | None:
    """The checks that stood on the page which was sent, with their answers. None where it offered none."""
    library = collection.entries()
    named = [library[key] for key in dict.fromkeys(sent.getlist("offered")) if key in library]
    entries = [entry for entry in named if can_offer(entry)][:MOST]
    return Checks(entries, ChecksForm(entries, sent)) if entries else None
