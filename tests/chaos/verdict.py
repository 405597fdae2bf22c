"""What the mail server's files and the database say when the storm is over."""

import re
from collections import Counter, defaultdict
from dataclasses import dataclass, field
from pathlib import Path

from jobs.models import Entry, Kind
from notifications import relay
from notifications.models import Letter

MESSAGE_ID = re.compile(rb"(?m)^Message-ID: (\S+)\r?$")
TO = re.compile(rb"(?m)^To: .*?([\w.+-]+@[\w.-]+)>?\r?$")


@dataclass
class Verdict:
    """Counts to print, and a sentence for each thing that must not be."""

    entries: int = 0
    delivered: int = 0
    copies: int = 0
    doubts: int = 0
    repeated: Counter[str] = field(default_factory=Counter)
    wrongs: list[str] = field(default_factory=list)


def judge(folder: Path, doubts: Counter[int]) -> Verdict:
    """`folder`: what the server kept. `doubts`: of each letter, how often it may have arrived before it was sent again by hand."""
    kept = [(MESSAGE_ID.search(mail)[1].decode(), TO.search(mail)[1].decode()) for mail in _mails(folder)]  # type: ignore[index]
    copies = Counter(identity for identity, _to in kept)
    letters = {letter.message_id: letter for letter in Letter.objects.defer("text", "html")}
    for letter in letters.values():
        doubts[letter.pk] += letter.doubts
    verdict = Verdict(
        entries=Entry.objects.filter(kind=Kind.BOOKED).count(),
        delivered=len(copies),
        copies=len(kept),
        doubts=sum(doubts.values()),
        repeated=Counter({identity: count - 1 for identity, count in copies.items() if count > 1}),
    )
    verdict.wrongs += _lost(letters, copies)
    if verdict.delivered != verdict.entries:
        verdict.wrongs.append(f"{verdict.entries} bookings, and {verdict.delivered} letters delivered")
    verdict.wrongs += _twice(kept)
    verdict.wrongs += _unexplained(verdict.repeated, letters, doubts)
    return verdict


def _mails(folder: Path) -> list[bytes]:
    return [file.read_bytes() for file in sorted(folder.glob("*.eml"))]


def _lost(letters: dict[str, Letter], copies: Counter[str]) -> list[str]:
    """Every entry was read, has its one letter, and that letter stands in the server's files."""
    wrongs = [f"entry {pk} was never read" for pk in relay.unread().values_list("pk", flat=True)]
    written = Counter(letter.entry_id for letter in letters.values() if letter.kind == "booked")
    for entry in Entry.objects.filter(kind=Kind.BOOKED).values_list("pk", flat=True):
        if written[entry] != 1:
            wrongs.append(f"entry {entry} has {written[entry]} letters")
    for identity, letter in letters.items():
        if letter.state not in ("skipped", "carried") and not copies[identity]:
            wrongs.append(f"{identity} ({letter.state}) never arrived")
        if letter.state in ("waiting", "sending", "ambiguous", "failed"):
            wrongs.append(f"{identity} is still {letter.state}: {letter.last_error}")
    return wrongs + [
        f"{identity} arrived, and no letter is called that" for identity in copies.keys() - letters
    ]


def _twice(kept: list[tuple[str, str]]) -> list[str]:
    """Asked of the files alone: each guest has one booking, so whoever has two identities was written to twice."""
    identities = defaultdict(set)
    for identity, to in kept:
        if to.startswith("guest"):
            identities[to].add(identity)
    return [f"{to} was sent {len(found)} letters" for to, found in identities.items() if len(found) != 1]


def _unexplained(repeated: Counter[str], letters: dict[str, Letter], doubts: Counter[int]) -> list[str]:
    """A letter may arrive once more for each time that nobody could tell whether it had."""
    return [
        f"{identity} arrived {more + 1} times, with {doubts[letters[identity].pk]} doubts"
        for identity, more in repeated.items()
        if identity in letters and more > doubts[letters[identity].pk]
    ]
