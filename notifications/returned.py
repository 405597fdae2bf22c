"""Letters that did not reach anybody, as it turns out: by a mail server's report, by a provider, or because the address was refused.

Whatever brought the news, and however often: the letter's row changes once, the address is noted as dead where it is the address's
fault, the next way is turned to, and the journal says so, which tells the workshop. All of it is one transaction.
"""

import logging
import re
from functools import partial

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from jobs import journal
from jobs.actions.contact import want_progress
from jobs.actions.linking import KEY_IN_WORDS
from jobs.actions.moving import changing
from jobs.actor import HOUSE
from jobs.models import Job, Kind
from jobs.words import Way
from notifications import ways
from notifications.channels.base import Undelivered
from notifications.lost import BOUNCED, COMPLAINED, REFUSED
from notifications.models import DeadAddress, Letter
from notifications.plan import plan_of, why_not
from notifications.replies.reports import Report
from notifications.waking import wake_letters

log = logging.getLogger(__name__)

State = Letter.State
ADDRESS = re.compile(r"<?[^\s<>]+@[^\s<>]+>?")
NUMBER = re.compile(r"[(+]*\d[\d ()./-]{5,}\d")  # a telephone number, however it is written
# RFC 3463: x.1.z is about the address, x.2.1 a mailbox that is switched off. Without such a code, RFC 5321's own (section 4.2.3) and what
# servers say with them; the words are from memory, no source.
CODE = re.compile(r"\b([245])\.(\d{1,3})\.(\d{1,3})\b")
OWN_CODE = re.compile(r"^\s*5(?:50|51|53)\b")
OWN_WORDS = re.compile(r"user|mailbox|recipient|address|nobody|no such|unknown|does not exist", re.IGNORECASE)


def came_back(letter: Letter, why: str, said: str = "", *, dead: bool | None = None) -> bool:
    """A letter that had been sent came back. Returns whether that is news. `why`: BOUNCED or REFUSED; `said`: the other side's words.

    `dead`: whether nothing more is to go to its address; where nobody knows better, what they said tells.
    """
    with changing(letter.job):
        # Of one that failed the workshop has heard, or sees it; one that waits has not gone.
        known = [State.RETURNED, State.FAILED, State.WAITING]
        gone = Letter.objects.filter(pk=letter.pk).exclude(state__in=known)
        if not gone.update(state=State.RETURNED, last_error=said[:400], next_attempt_at=None):
            return False
        is_dead = is_about_the_address(said) if dead is None else dead
        _turn(letter, why, said, is_dead)
    log.info("letter %s came back", letter.pk)
    return True


def could_not_go(letter: Letter, error: Undelivered) -> None:
    """A letter to a person ended as failed. Called with its row, in one transaction.

    Where the address was refused, it is dead and the workshop is told; after any other failure only the next way is tried, and the
    office sees the letter among those that did not get through.
    """
    if letter.person_id is None:
        return
    refused = error.permanent and (
        error.no_such_address or (letter.channel == Way.EMAIL and is_about_the_address(error.reason))
    )
    with changing(letter.job):
        if refused:
            _turn(letter, REFUSED, error.reason, is_dead=True)
        else:
            _wake(ways.turn_to_next(letter))


def complained(letter: Letter, said: str = "") -> bool:
    """They marked it as unwanted: it arrived, so it is not sent again. Progress stops, and what is needed goes another way.

    Returns whether that is news.
    """
    if letter.person is None:
        return False
    with changing(letter.job):
        if not _mark_dead(letter, DeadAddress.Why.COMPLAINED, said):
            return False
        want_progress(letter.person, False)
        _tell(letter, COMPLAINED, said, None)
    log.info("letter %s was marked as unwanted", letter.pk)
    return True


def arrived(letter: Letter) -> None:
    """The other side has it. One that was in doubt has arrived, and is not tried again."""
    now = timezone.now()
    Letter.objects.filter(pk=letter.pk, arrived_at__isnull=True).update(arrived_at=now)
    doubtful = Letter.objects.filter(pk=letter.pk, state=State.AMBIGUOUS)
    doubtful.update(state=State.SENT, sent_at=now, next_attempt_at=None, last_error="", trouble="")


def reported(report: Report) -> Letter | None:
    """What a mail server's report says of a letter of ours. Returns that letter; None where it is about none.

    The report has to name a Message-ID of ours, which only its recipient and the servers on its way have seen, and its recipient, who
    may be the original one where a letter was forwarded.
    """
    letter = Letter.objects.select_related("job__customer", "person").filter(message_id=report.letter).first()
    if letter is None or not report.is_about(letter.to_address):
        return None
    if report.action == "failed":
        came_back(letter, BOUNCED, f"{report.status} {report.said}".strip())
    if report.action in ("delivered", "relayed"):
        arrived(letter)
    return letter


def is_about_the_address(said: str) -> bool:
    """Whether a refusal is the address's own fault, so that no other letter need try it. `said`: codes and words of the other side."""
    if code := CODE.search(said):
        kind, subject, detail = code.groups()
        return kind == "5" and (subject == "1" or (subject, detail) == ("2", "1"))
    return bool(OWN_CODE.search(said) and OWN_WORDS.search(said))


def revive(address: str, way: Way = Way.EMAIL) -> bool:
    """Somebody who knows says that this address is right: letters go there again. Returns whether it had been dead."""
    return bool(DeadAddress.objects.filter(way=way, address=address.lower()).delete()[0])


def to_send_again(job: Job) -> list[Letter]:
    """Letters to the job's customer that came back or were refused, and still say what is so, or carry one that does."""
    lost = Letter.objects.filter(job=job, person=job.customer, channel=Way.EMAIL, carried_by__isnull=True)
    lost = lost.filter(state__in=[State.RETURNED, State.FAILED]).select_related("entry__job__customer")
    return [letter for letter in lost if any(map(_still_counts, [letter, *_carried(letter)]))]


def _carried(letter: Letter) -> QuerySet[Letter]:
    return letter.carries.select_related("entry__job__customer")


def _still_counts(letter: Letter) -> bool:
    try:
        return not why_not(plan_of(letter), letter.entry)
    except KeyError:
        return False


def _turn(letter: Letter, why: str, said: str, is_dead: bool) -> None:
    if is_dead and letter.person_id:  # never our own: nobody could tell us any more
        _mark_dead(letter, DeadAddress.Why.BOUNCED, said)
    turned = ways.turn_to_next(letter) if letter.person_id else None
    _tell(letter, why, said, turned)
    _wake(turned)


def _mark_dead(letter: Letter, why: DeadAddress.Why, said: str) -> bool:
    """Whether it was alive until now, or dead for a lesser reason. What else waits to go there takes another way, after the commit."""
    transaction.on_commit(partial(_leave, letter.channel, letter.to_address), robust=True)
    row, is_new = DeadAddress.objects.get_or_create(
        way=letter.channel,
        address=letter.to_address.lower(),
        defaults={"why": why, "said": said[:400]},
    )
    if not is_new and row.why != why and why == DeadAddress.Why.COMPLAINED:
        DeadAddress.objects.filter(pk=row.pk).update(why=why, said=said[:400])
        return True
    return is_new


def _leave(way: str, address: str) -> None:
    wake_letters(turned.pk for turned in ways.leave(way, address))


def _tell(letter: Letter, why: str, said: str, turned: Letter | None) -> None:
    """Into the journal, where no address, number or key stands: it cannot be taken out of there again."""
    if letter.person_id is None:
        return  # our own address: the letter that would tell of it went there too, and the office shows it
    data = {
        "letter": letter.pk,
        "way": letter.channel,
        "why": why,
        "said": _without_traces(said, letter.channel)[:200],
        "next": turned.channel if turned else "",
    }
    with changing(letter.job) as job:
        journal.append(job, Kind.CAME_BACK, HOUSE, data)


def _without_traces(said: str, way: str) -> str:
    """What the other side said, without what names or lets in anybody: gateways and servers repeat what they were given."""
    for trace in (KEY_IN_WORDS, ADDRESS, *([NUMBER] if way == Way.TEXT else [])):
        said = trace.sub("…", said)
    return " ".join(said.split())


def _wake(turned: Letter | None) -> None:
    if turned is not None:
        transaction.on_commit(lambda: wake_letters([turned.pk]), robust=True)
