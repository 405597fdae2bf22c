"""What a customer reads about each entry of the journal, and whose turn it was: the timeline, read from the journal alone."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs import money, refs, timeline_money
from jobs.models import Entry, Kind
from jobs.words import FailedAgain, Holder, Judgement

Data = dict[str, Any]


def _booked(data: Data) -> str:
    if data.get("claim_on"):
        return _("You told us what happened, under the warranty of %(ref)s.") % {
            "ref": refs.show(data["claim_on"])
        }
    return _("You told us what happened and booked it in.")


def _posted(data: Data) -> str:
    if data.get("sent_with"):
        return _("You posted it: %(with)s.") % {"with": data["sent_with"].rstrip(".")}
    return _("You posted it.")


def _arrived(data: Data) -> str:
    if data["loose_parts"]:
        return ngettext(
            "Your parcel arrived, with %(n)s loose part.",
            "Your parcel arrived, with %(n)s loose parts.",
            data["loose_parts"],
        ) % {"n": data["loose_parts"]}
    return _("Your parcel arrived.")


def _promised(data: Data) -> str:
    return _("We gave you dates: likely by %(likely)s, almost surely by %(surely)s.") % {
        "likely": _day(data["likely_by"]),
        "surely": _day(data["surely_by"]),
    }


def _part_awaited(data: Data) -> str:
    if data["expected_on"]:
        return _("We ordered a part: %(part)s. It should be here by %(day)s.") % {
            "part": data["part"],
            "day": _day(data["expected_on"]),
        }
    return _("We ordered a part: %(part)s.") % {"part": data["part"]}


def _not_content(data: Data) -> str:
    return _("We tested it and were not content, so it went back to the bench.")


def _ready(data: Data) -> str:
    return _("It is ready.")


def _sent_back(data: Data) -> str:
    if data["collected"]:
        return _("You collected it.")
    if data["tracking"]:
        return _("We posted it to you: %(carrier)s %(tracking)s.") % data
    return _("We posted it to you.")


def _claim_judged(data: Data) -> str:
    """What is done at no charge is told by the entry after it."""
    if data["judgement"] != Judgement.NOT_COVERED:
        return ""
    said = _("We looked. The warranty does not cover it: %(because)s")
    if data["again"] == FailedAgain.NOTHING:
        said = _("We looked, and found nothing wrong: %(because)s")
    return said % {"because": _full_stop(data["because"])}


def _claim_accepted(data: Data) -> str:
    said = _("We looked, and do it under warranty.")
    if data.get("goodwill"):
        said = _("We looked. The warranty does not cover it, and we do it at no charge all the same.")
    because = data.get("because", "")
    return f"{said} {_full_stop(because)}" if because else said


def _warranty_ends(data: Data) -> str:
    return _("We wrote to you that your warranty ends on %(day)s.") % {"day": _day(data["last"])}


def _withdrawn(data: Data) -> str:
    if data["cost"]:
        return _("The job ended without repair. It costs %(sum)s.") % {
            "sum": money.show(data["cost"], data["currency"])
        }
    return _("The job ended without repair. It costs you nothing.")


def _day(iso: str) -> str:
    return date_format(date.fromisoformat(iso), _("j F"))


WORDS: dict[str, Callable[[Data], str]] = {
    Kind.BOOKED: _booked,
    Kind.POSTED: _posted,
    Kind.ARRIVED: _arrived,
    Kind.EXAMINING: lambda data: _("We began to examine it."),
    Kind.FINDING_POSTED: lambda data: _("We found: %(title)s.") % {"title": _bare(data["title"])},
    Kind.FINDING_CORRECTED: lambda data: (
        _("We corrected what we wrote: %(title)s.") % {"title": _bare(data["title"])}
    ),
    Kind.FINDING_WITHDRAWN: lambda data: _("We took back: %(title)s.") % {"title": _bare(data["title"])},
    Kind.STORY_ANSWERED: lambda data: _("We answered your question."),
    Kind.QUOTE_SENT: timeline_money.quote_sent,
    Kind.QUOTE_WITHDRAWN: timeline_money.quote_withdrawn,
    Kind.QUOTE_LAPSED: lambda data: _("The quote’s last day passed."),
    Kind.DECIDED: timeline_money.decided,
    Kind.TRIED: timeline_money.tried,
    Kind.TRY_UNDONE: timeline_money.try_undone,
    Kind.PRICED: timeline_money.priced,
    Kind.PAID: timeline_money.paid,
    Kind.REFUNDED: timeline_money.refunded,
    Kind.ASKED: lambda data: _("You asked us: “%(text)s”") % {"text": data["text"]},
    Kind.ANSWERED: lambda data: _("We answered: “%(text)s”") % {"text": data["answer"]},
    Kind.ENQUIRED: lambda data: _("We asked you: “%(text)s”") % {"text": data["text"]},
    Kind.ENQUIRY_ANSWERED: lambda data: _("You answered: “%(text)s”") % {"text": data["answer"]},
    Kind.ENQUIRY_DROPPED: lambda data: (
        _("We no longer need your answer to: “%(text)s”") % {"text": data["text"]}
    ),
    Kind.PROMISED: _promised,
    Kind.WORK_STARTED: lambda data: _("The work began."),
    Kind.PART_AWAITED: _part_awaited,
    Kind.PART_CAME: lambda data: _("The part arrived."),
    Kind.PROVING: lambda data: _("The work is done. We began to test it."),
    Kind.PROVED: lambda data: _("We tested it and were content."),
    Kind.NOT_CONTENT: _not_content,
    Kind.READY: _ready,
    Kind.SENT_BACK: _sent_back,
    Kind.DELIVERED: lambda data: _("It was delivered to you."),
    Kind.WITHDRAWN: _withdrawn,
    Kind.WARRANTY: lambda data: _("Your warranty began."),
    Kind.CLAIM_OPENED: lambda data: (
        _("You opened claim %(ref)s on the warranty.") % {"ref": refs.show(data["claim"])}
    ),
    Kind.CLAIM_JUDGED: _claim_judged,
    Kind.CLAIM_ACCEPTED: _claim_accepted,
    Kind.WARRANTY_ENDS: _warranty_ends,
}
# Staff's own: a nudge, a telephone note, a link that was asked for, a payment noted by mistake. No line on the customer's page.
HIDDEN = frozenset(Kind.values) - WORDS.keys()

# Whose move it becomes with an entry that does not say so itself; entries not named here leave it as it is.
_HANDS_TO: dict[str, Holder] = {
    Kind.BOOKED: Holder.CUSTOMER,
    Kind.POSTED: Holder.CARRIER,
    Kind.ARRIVED: Holder.WORKSHOP,
    Kind.QUOTE_SENT: Holder.CUSTOMER,
    Kind.QUOTE_WITHDRAWN: Holder.WORKSHOP,
    Kind.DECIDED: Holder.WORKSHOP,
    Kind.PART_AWAITED: Holder.SUPPLIER,
    Kind.PART_CAME: Holder.WORKSHOP,
    Kind.WORK_STARTED: Holder.WORKSHOP,
    Kind.PROVING: Holder.WORKSHOP,
    Kind.NOT_CONTENT: Holder.WORKSHOP,
    Kind.WITHDRAWN: Holder.WORKSHOP,
    Kind.DELIVERED: Holder.NOBODY,
}


@dataclass(frozen=True)
class Told:
    """One line of the timeline."""

    seq: int
    at: datetime
    words: str


@dataclass(frozen=True)
class Turn:
    """A stretch of time in which it was one holder's move; `until` is None for the present one. Newest line first."""

    holder: Holder
    since: datetime
    until: datetime | None
    lines: list[Told]


def told(entry: Entry) -> Told | None:
    """The customer's line about an entry, or None when there is none."""
    say = WORDS.get(entry.kind)
    words = say(entry.data) if say else ""
    return Told(entry.seq, entry.at, words) if words else None


def turns(entries: Iterable[Entry]) -> list[Turn]:
    """Group a job's entries, oldest first, into turns, newest turn first."""
    found: list[Turn] = []
    for entry in entries:
        holder = _holder_after(entry)
        if not found or (holder and holder != found[-1].holder):
            _close(found, entry.at)
            found.append(Turn(holder or Holder.CUSTOMER, entry.at, None, []))
        if line := told(entry):
            found[-1].lines.insert(0, line)
    return found[::-1]


def _close(found: list[Turn], at: datetime) -> None:
    if found:
        last = found[-1]
        found[-1] = Turn(last.holder, last.since, at, last.lines)


def _holder_after(entry: Entry) -> Holder | None:
    if said := entry.data.get("holder"):  # an answer or an end: it depends on how it goes home
        return Holder(said)
    if entry.kind == Kind.SENT_BACK:
        return Holder.NOBODY if entry.data["collected"] else Holder.CARRIER
    if entry.kind == Kind.READY:
        return Holder.CUSTOMER if entry.data["return_by"] == "collect" else Holder.WORKSHOP
    return _HANDS_TO.get(entry.kind)


def _full_stop(text: str) -> str:
    return text if text.endswith((".", "!", "?")) else f"{text}."


def _bare(title: str) -> str:
    return title.rstrip(".")
