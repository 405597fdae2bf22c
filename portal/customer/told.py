"""What the journal tells a customer's page: read once, so that the page needs no other query for any of it."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from django.utils import timezone

from jobs import refs, timeline
from jobs.models import Entry, Kind, Proof
from portal.drawing.turns import Entry as Drawn
from portal.drawing.turns import Rail, Turn, draw, gather


@dataclass
class Asked:
    """A question and its answer, as templates/parts/question.html shows them."""

    pk: int
    text: str
    about: str
    asked_at: datetime
    answer: str = ""
    answered_at: datetime | None = None
    answered_by: str = ""


@dataclass
class Enquired:
    """A question of ours and their answer. `waits`: neither answered nor taken back."""

    pk: int
    text: str
    about: str
    asked_at: datetime
    asked_by: str
    work_waits: bool = False
    answer: str = ""
    answered_at: datetime | None = None
    waits: bool = True


@dataclass(frozen=True)
class Awaited:
    """A part that has not come yet."""

    what: str
    ordered_at: datetime
    expected_on: date | None


@dataclass(frozen=True)
class Tested:
    """One test of the proving: its name, whether we are content, what we saw."""

    name: str
    content: bool
    note: str


@dataclass
class Told:
    """`turns` newest first and their `rail`; `tests` are those of the last proving."""

    entries: list[Entry]
    questions: list[Asked] = field(default_factory=list)
    enquiries: list[Enquired] = field(default_factory=list)
    awaited: list[Awaited] = field(default_factory=list)
    arrived: dict[str, Any] = field(default_factory=dict)
    tests: list[Tested] = field(default_factory=list)
    decided: dict[str, Any] = field(default_factory=dict)
    warranty_from: date | None = None
    answered_since_promise: bool = False  # then what the dates depended on is done
    claims: list[str] = field(default_factory=list)
    turns: list[Turn] = field(default_factory=list)
    rail: Rail | None = None

    @property
    def enquired(self) -> list[Enquired]:
        """Questions of ours that wait for their answer, the oldest first."""
        return [each for each in self.enquiries if each.waits]

    @property
    def took_back(self) -> str:
        """That we no longer ask, where nothing has happened since: whoever comes by the letter with the question looks for it."""
        for entry in reversed(self.entries):
            if line := timeline.told(entry):
                return line.words if entry.kind == Kind.ENQUIRY_DROPPED else ""
        return ""


def tell(entries: list[Entry]) -> Told:
    """Read a job's whole journal, oldest entry first."""
    told = Told(entries)
    for entry in entries:
        if reader := READERS.get(entry.kind):
            reader(told, entry, entry.data)
    today = timezone.localdate()
    told.turns = gather(_drawn(entries), today)
    told.rail = draw(told.turns, today)
    return told


def news_since(entries: Iterable[Entry], seq: int) -> str:
    """The newest line that the customer has not seen, or ""."""
    lines = [line for entry in entries if entry.seq > seq and (line := timeline.told(entry))]
    return lines[-1].words if lines else ""


def _drawn(entries: list[Entry]) -> list[Drawn]:
    """The trade's turns as the drawing takes them: one flat list, oldest first."""
    return [
        Drawn(timezone.localtime(line.at).date(), turn.holder, line.words)
        for turn in reversed(timeline.turns(entries))
        for line in reversed(turn.lines)
    ]


def _asked(told: Told, entry: Entry, data: dict[str, Any]) -> None:
    told.questions.append(Asked(data["question"], data["text"], data["about"], entry.at))


def _answered(told: Told, entry: Entry, data: dict[str, Any]) -> None:
    for asked in told.questions:
        if asked.pk == data["question"]:
            asked.answer, asked.answered_at, asked.answered_by = data["answer"], entry.at, entry.by_name


def _enquired(told: Told, entry: Entry, data: dict[str, Any]) -> None:
    told.enquiries.append(
        Enquired(data["enquiry"], data["text"], data["about"], entry.at, entry.by_name, data["work_waits"])
    )


def _enquiry_answered(told: Told, entry: Entry, data: dict[str, Any]) -> None:
    for asked in told.enquiries:
        if asked.pk == data["enquiry"]:
            asked.answer, asked.answered_at, asked.waits = data["answer"], entry.at, False


def _enquiry_dropped(told: Told, entry: Entry, data: dict[str, Any]) -> None:
    told.enquiries = [asked for asked in told.enquiries if asked.pk != data["enquiry"]]


def _part_awaited(told: Told, entry: Entry, data: dict[str, Any]) -> None:
    expected = date.fromisoformat(data["expected_on"]) if data["expected_on"] else None
    told.awaited.append(Awaited(data["part"], entry.at, expected))


def _part_came(told: Told, entry: Entry, data: dict[str, Any]) -> None:
    told.awaited.clear()


def _arrived(told: Told, entry: Entry, data: dict[str, Any]) -> None:
    told.arrived = data


def _tested(told: Told, entry: Entry, data: dict[str, Any]) -> None:
    told.tests = [
        Tested(str(Proof.Test(each["test"]).label), each["content"], each["note"]) for each in data["tests"]
    ]


def _decided(told: Told, entry: Entry, data: dict[str, Any]) -> None:
    told.decided = data | {"at": entry.at}
    told.answered_since_promise = True


def _promised(told: Told, entry: Entry, data: dict[str, Any]) -> None:
    told.answered_since_promise = False


def _warranty(told: Told, entry: Entry, data: dict[str, Any]) -> None:
    told.warranty_from = date.fromisoformat(data["starts_on"])


def _claimed(told: Told, entry: Entry, data: dict[str, Any]) -> None:
    told.claims.append(refs.show(data["claim"]))


READERS = {
    Kind.ASKED: _asked,
    Kind.ANSWERED: _answered,
    Kind.ENQUIRED: _enquired,
    Kind.ENQUIRY_ANSWERED: _enquiry_answered,
    Kind.ENQUIRY_DROPPED: _enquiry_dropped,
    Kind.PART_AWAITED: _part_awaited,
    Kind.PART_CAME: _part_came,
    Kind.ARRIVED: _arrived,
    Kind.PROVED: _tested,
    Kind.NOT_CONTENT: _tested,
    Kind.DECIDED: _decided,
    Kind.PROMISED: _promised,
    Kind.WARRANTY: _warranty,
    Kind.CLAIM_OPENED: _claimed,
}
