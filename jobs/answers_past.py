"""How quickly people answered here: gathered from the rows once, and kept until another quote is answered or the day changes.

A wait begins on the day on which a quote was sent or a question of ours was asked. It ends with an answer of the customer's: for a quote
yes or no, on the page or by telephone, or taking the item back as it is. Whatever else ends it leaves it *censored* on its day: the quote
lapsed, we replaced it or took it back, we dropped the question or ended the job; or it waits still. Nudges are part of the ordinary
course. A telephone call is not: what came by itself is known only until the day of the first call, and what follows is counted for calls.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime

from django.db.models import QuerySet
from django.utils import timezone

from jobs.models import Enquiry, Entry, Kind, Quote
from jobs.waiting import SOON, Calls, Pace, Step, Wait, gain, kaplan_meier, pace

MOST = 1000  # waits looked at, the newest: two or three years of a small shop; and as many calls
ENDS_A_QUOTE = (Kind.QUOTE_SENT, Kind.QUOTE_WITHDRAWN, Kind.WITHDRAWN)


@dataclass(frozen=True)
class Span:
    """From the day on which something was asked to the day on which its wait ended, or today."""

    job: int
    begin: date
    end: date
    answered: bool

    @property
    def wait(self) -> Wait:
        return Wait(max(0, (self.end - self.begin).days), self.answered)


@dataclass(frozen=True)
class Past:
    """What the past taught: the curve of what was seen, the pace that chances are reckoned from, and how calls went."""

    waits: int
    curve: list[Step]
    pace: Pace
    calls: Calls

    def chance(self, waited: int) -> float:
        """The chance that an answer comes by itself within the next week, after `waited` days."""
        return self.pace.comes_within(SOON, waited)

    def gain(self, waited: int, money: int) -> float:
        """What a call would gain after `waited` days, in the minor units of `money`."""
        return gain(self.pace, waited, money, self.calls)


Mark = tuple[date, int]  # the day, and the newest answer
_kept: list[tuple[Mark, Past]] = []  # at most one: this process's own


def past() -> Past:
    """One small query; seven more when an answer came or the day changed."""
    decided = Entry.objects.filter(kind=Kind.DECIDED).order_by("-at")
    mark = (timezone.localdate(), decided.values_list("pk", flat=True).first() or 0)
    if not _kept or _kept[0][0] != mark:
        _kept[:] = [(mark, gather())]
    return _kept[0][1]


def gather() -> Past:
    """Seven queries, each over an index, however many jobs there are."""
    spans = sorted([*_quotes(), *_replaced(), *_enquiries()], key=lambda span: span.begin, reverse=True)[
        :MOST
    ]
    called = _called()
    waits = [_until_called(span, called[span.job]).wait for span in spans]
    return Past(len(waits), kaplan_meier(waits), pace(waits), _calls(spans, called))


def _quotes() -> Iterator[Span]:
    """Of each state the newest quotes; where the newest of all are among them, whatever their states are."""
    for row in _newest(Quote.State.ANSWERED).values_list("job", "sent_at", "decision__at"):
        yield Span(row[0], _day(row[1]), _day(row[2]), answered=True)
    today = timezone.localdate()
    for state in (Quote.State.OPEN, Quote.State.LAPSED):
        for job, sent_at, last in _newest(state).values_list("job", "sent_at", "valid_until"):
            yield Span(job, _day(sent_at), min(today, last or today), answered=False)


def _newest(state: Quote.State) -> "QuerySet[Quote]":
    return Quote.objects.filter(state=state, sent_at__isnull=False).order_by("-sent_at")[:MOST]


def _replaced() -> Iterator[Span]:
    """Their row does not say when they ended; the journal does: with what followed their being sent."""
    rows = list(_newest(Quote.State.REPLACED).values_list("job", "n", "sent_at"))
    told: dict[int, list[Entry]] = defaultdict(list)
    entries = Entry.objects.filter(job__in={row[0] for row in rows}, kind__in=ENDS_A_QUOTE)
    for entry in entries.order_by("job", "seq"):
        told[entry.job_id].append(entry)
    for job, n, sent_at in rows:
        if end := _what_followed(n, told[job]):
            theirs = end.kind == Kind.WITHDRAWN and end.by_kind == "customer"
            yield Span(job, _day(sent_at), _day(end.at), answered=theirs)


def _enquiries() -> Iterator[Span]:
    today = timezone.localdate()
    newest = Enquiry.objects.order_by("-pk")[:MOST]
    for job, asked, answered, dropped in newest.values_list("job", "asked_at", "answered_at", "dropped_at"):
        ended = answered or dropped
        yield Span(job, _day(asked), _day(ended) if ended else today, answered is not None)


def _what_followed(n: int, entries: list[Entry]) -> Entry | None:
    """The entry after the one that says that quote `n` was sent."""
    following = iter(entries)
    if any(entry.kind == Kind.QUOTE_SENT and entry.data["quote"] == n for entry in following):
        return next(following, None)
    return None


def _called() -> dict[int, list[date]]:
    """The days on which calls were noted, by job."""
    found: dict[int, list[date]] = defaultdict(list)
    calls = Entry.objects.filter(kind=Kind.CALLED).order_by("-at")[:MOST]
    for job, at in calls.values_list("job", "at"):
        found[job].append(_day(at))
    return found


def _until_called(span: Span, called: Iterable[date]) -> Span:
    first = min((day for day in called if span.begin <= day <= span.end), default=None)
    return span if first is None else replace(span, end=first, answered=False)


def _calls(spans: Iterable[Span], called: dict[int, list[date]]) -> Calls:
    """Calls while an answer was owed, once their week is over or the answer is there."""
    today, tries, answered = timezone.localdate(), 0, 0
    for span in spans:
        for day in {day for day in called[span.job] if span.begin <= day <= span.end}:
            came = span.answered and (span.end - day).days <= SOON
            answered += came
            tries += came or (today - day).days > SOON
    return Calls(tries, answered)


def _day(at: datetime | None) -> date:
    """A moment that is there: the query or the state of its row says so."""
    assert at
    return timezone.localdate(at)
