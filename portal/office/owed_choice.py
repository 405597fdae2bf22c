"""Which of the things owed are listed and in which order, read from the address and written into links."""

from dataclasses import dataclass, replace
from datetime import date, datetime
from urllib.parse import urlencode

from django.db.models import QuerySet
from django.http import Http404, QueryDict
from django.utils import timezone
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from jobs.words import Owes
from notifications.models import Owing
from portal.office import keyset

BY_GAIN = "gain"
ORDERS: dict[str, Promise] = {
    BY_GAIN: _("what a call gains"),
    "since": _("longest wait"),
    "money": _("most money"),
    "next": _("next reminder"),
}
ABOUT: dict[str, Promise] = {
    "": _("all"),
    Owes.QUOTE: _("quotes"),
    Owes.QUESTION: _("questions"),
    Owes.PAYMENT: _("payments"),
    Owes.COLLECTION: _("collections"),
}
STORED = "stored"
STATES: dict[str, Promise] = {
    "call": _("to ring now"),
    "paused": _("paused or put off"),
    STORED: _("in storage"),
}
UNDATED = "none"  # a cursor among those of which no nudge follows


@dataclass(frozen=True)
class Link:
    words: str | Promise
    query: str
    here: bool


@dataclass(frozen=True)
class Choice:
    """`about`: one of Owes or ""; `state`: one of STATES or ""; `after`: the cursor at which the page before ended.

    `terms`: whether the workshop has storage terms; without them nothing is "in storage".
    """

    order: str = BY_GAIN
    about: str = ""
    state: str = ""
    after: str = ""
    terms: bool = False

    @classmethod
    def read(cls, asked: QueryDict, terms: bool = False) -> "Choice":
        """Raises Http404 for an order or a filter that there is not. A made-up cursor is the first page."""
        choice = cls(
            asked.get("order", BY_GAIN),
            asked.get("about", ""),
            asked.get("state", ""),
            asked.get("after", ""),
            terms,
        )
        if (
            choice.order not in ORDERS
            or choice.about not in ABOUT
            or choice.state not in ("", *choice.states)
        ):
            raise Http404
        return choice

    @property
    def query(self) -> str:
        """The query string that leads here: only what differs from the plain page."""
        said = {"order": self.order, "about": self.about, "state": self.state, "after": self.after}
        return urlencode({key: value for key, value in said.items() if value and value != BY_GAIN})

    @property
    def states(self) -> list[str]:
        return [state for state in STATES if self.terms or state != STORED]

    @property
    def filtered(self) -> bool:
        return bool(self.about or self.state)

    def orders(self) -> list[Link]:
        return [self._link(words, order=order) for order, words in ORDERS.items()]

    def filters(self) -> list[Link]:
        """What is owed, then what is to be done. Pressed again, the second is let go."""
        about = [self._link(words, about=key) for key, words in ABOUT.items()]
        state = [
            replace(self._link(STATES[key], state="" if key == self.state else key), here=key == self.state)
            for key in self.states
        ]
        return [*about, *state]

    def rows(self) -> tuple[list[Owing], str]:
        """One page, and the query string of the next one; "" where this is the last."""
        found = self._found(keyset.ROWS + 1)
        if len(found) <= keyset.ROWS:
            return found, ""
        last = found[keyset.ROWS - 1]
        return found[: keyset.ROWS], replace(self, after=self._cursor_of(last)).query

    def every(self, most: int) -> list[Owing]:
        """All of them in order, `most` at the most."""
        return replace(self, after="")._found(most)

    def _link(self, words: Promise, **changed: str) -> Link:
        there = replace(self, after="", **changed)
        return Link(words, there.query, there == replace(self, after=""))

    def _asked(self) -> "QuerySet[Owing]":
        owings = Owing.objects.all()
        if self.about:
            owings = owings.filter(about=self.about)
        if self.state == STORED:
            return owings.past_free_storage(timezone.localdate())
        return owings.filter(state=self.state) if self.state else owings

    def _found(self, room: int) -> list[Owing]:
        """Their numbers in order first, and only then the rows with job and person: databases sort narrow rows far faster."""
        pks = self._pks(room)
        rows = Owing.objects.select_related("job__item", "job__customer").in_bulk(pks)
        return [rows[pk] for pk in pks if pk in rows]

    def _pks(self, room: int) -> list[int]:
        asked = self._asked().values_list("pk", flat=True)
        if self.order == "next":
            return self._by_next(asked, room)
        kind = datetime if self.order == "since" else int
        return list(
            keyset.after(asked, self.order, keyset.read(self.after, kind), falling=kind is int)[:room]
        )

    def _by_next(self, asked: "QuerySet[Owing, int]", room: int) -> list[int]:
        """First those of which a nudge follows, the nearest first; then the others. Two questions, because databases sort NULL apart."""
        undated = asked.filter(next_on__isnull=True).order_by("pk")
        word, _sep, pk = self.after.partition("~")
        if word == UNDATED and pk.isascii() and pk.isdigit():
            return list(undated.filter(pk__gt=int(pk))[:room])
        dated = asked.filter(next_on__isnull=False)
        found = list(keyset.after(dated, "next_on", keyset.read(self.after, date))[:room])
        return [*found, *undated[: room - len(found)]] if len(found) < room else found

    def _cursor_of(self, owing: Owing) -> str:
        if self.order == "next" and owing.next_on is None:
            return f"{UNDATED}~{owing.pk}"
        return str(keyset.cursor_of(owing, "next_on" if self.order == "next" else self.order))
