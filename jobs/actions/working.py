"""The work: begun, held up by a part, proved, ready, sent home."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.utils import timezone
from django.utils.translation import gettext as _

from jobs import collection, journal, money, shutter
from jobs.accounts import account
from jobs.actions.moving import changing, hand_back, hand_to, may_leave, move, require
from jobs.actions.refusals import Refused
from jobs.actions.warranting import begin_warranty
from jobs.actor import HOUSE, Actor
from jobs.aftercare import Told, aftercare
from jobs.models import AwaitedPart, Job, Kind, Proof, ShutterTime
from jobs.words import Bearing, Holder, ReturnBy, Stage

MAY_MEASURE = frozenset({Stage.EXAMINING, Stage.QUOTED, Stage.AGREED, Stage.IN_WORK, Stage.PROVING})


@dataclass(frozen=True)
class Tested:
    """One test of the proving: a value of `Proof.Test`, whether we are content, what we saw."""

    test: str
    content: bool
    note: str = ""


def start_work(job: Job, by: Actor) -> None:
    with changing(job) as fresh:
        move(fresh, Stage.IN_WORK)
        journal.append(fresh, Kind.WORK_STARTED, by)


def await_part(
    job: Job, what: str, by: Actor, supplier: str = "", expected_on: date | None = None
) -> AwaitedPart:
    """The work waits for a part: it is the supplier's move."""
    if not what.strip():
        raise Refused(_("Say which part we wait for. The customer reads this."), "what")
    with changing(job) as fresh:
        move(fresh, Stage.AWAITING_PART)
        part = AwaitedPart.objects.create(
            job=fresh,
            what=what.strip(),
            supplier=supplier,
            ordered_at=timezone.now(),
            expected_on=expected_on,
        )
        journal.append(
            fresh,
            Kind.PART_AWAITED,
            by,
            {"part": part.what, "expected_on": expected_on.isoformat() if expected_on else None},
        )
        return part


def part_came(job: Job, by: Actor) -> None:
    """Every part that was awaited is here: the job waits for its turn on the bench again."""
    with changing(job) as fresh:
        waiting = fresh.awaited_parts.filter(came_at__isnull=True)
        names = [part.what for part in waiting]
        move(fresh, Stage.AGREED)
        hand_back(fresh)  # a deposit may be missing still
        waiting.update(came_at=timezone.now())
        journal.append(fresh, Kind.PART_CAME, by, {"parts": names})


def start_proving(job: Job, by: Actor) -> None:
    with changing(job) as fresh:
        move(fresh, Stage.PROVING)
        journal.append(fresh, Kind.PROVING, by)


def measure(job: Job, mark: str, measured_us: int, after_work: bool) -> ShutterTime:
    """Note one shutter time in microseconds, before or after the work. The last reading of a mark stands."""
    try:
        shutter.reading(mark, measured_us)
    except (KeyError, ValueError) as bad:
        raise Refused(_("That is not a shutter time that we can judge."), "measured") from bad
    with changing(job) as fresh:
        require(fresh, MAY_MEASURE)
        time, _made = ShutterTime.objects.update_or_create(
            job=fresh,
            mark=mark,
            after_work=after_work,
            defaults={"measured_us": measured_us, "at": timezone.now()},
        )
        return time


def prove(job: Job, tests: Sequence[Tested], by: Actor) -> bool:
    """Note the tests. Content with all of them: *ready*. Not content: back to work, and the customer is told so.

    Returns whether the job is ready. Raises Refused without any test, and for content while a supplementary quote waits: what is
    agreed once the work is over would be owed and never done.
    """
    if not tests:
        raise Refused(_("Note at least one test."))
    with changing(job) as fresh:
        require(fresh, frozenset({Stage.PROVING}))
        for tested in tests:
            Proof.objects.create(job=fresh, at=timezone.now(), by=by.name, **vars(tested))
        told = {"tests": [vars(tested) for tested in tests]}
        if all(tested.content for tested in tests):
            journal.append(fresh, Kind.PROVED, by, told)
            _make_ready(fresh, by)
            return True
        move(fresh, Stage.IN_WORK)
        journal.append(fresh, Kind.NOT_CONTENT, by, told)
        return False


def nothing_to_mend(job: Job, by: Actor) -> None:
    """The examination found nothing broken: from the examination straight to ready. The story must have its answer."""
    with changing(job) as fresh:
        require(fresh, frozenset({Stage.EXAMINING}))
        if not fresh.story_answer:
            raise Refused(_("Answer the customer's story first."))
        _make_ready(fresh, by)


def send_back(
    job: Job, by: Actor, carrier: str = "", tracking: str = "", left_as: str = "", left_note: str = ""
) -> None:
    """It leaves the workshop, mended or not: to the carrier, or into the customer's hands when it is collected.

    Raises Refused while something is to be paid and the owner has not let it go. `left_as` (`LeftAs`): how an item was left that was
    not mended. What they may do at home from now on is written into the journal, so that page and letter say the same, for ever.
    """
    with changing(job) as fresh:
        if fresh.stage == Stage.WITHDRAWN and fresh.holder in (Holder.CARRIER, Holder.NOBODY):
            raise Refused(_("It has been sent back already."))
        _must_be_settled(fresh)
        if left_as and fresh.stage == Stage.WITHDRAWN:
            fresh.left_as, fresh.left_note = left_as, left_note.strip()
            fresh.save(update_fields=["left_as", "left_note"])
        if fresh.stage != Stage.WITHDRAWN:
            move(fresh, Stage.RETURNED)
        collected = fresh.return_by == ReturnBy.COLLECT
        told = {"collected": collected, "carrier": carrier, "tracking": tracking}
        told |= {"left_as": fresh.left_as, "left_note": fresh.left_note}
        journal.append(fresh, Kind.SENT_BACK, by, told | {"aftercare": _aftercare(fresh)})
        if collected:
            _at_home(fresh, by, timezone.localdate())
        else:
            hand_to(fresh, Holder.CARRIER)


def _must_be_settled(job: Job) -> None:
    if not may_leave(job):
        stands = account(job)
        raise Refused(
            _(
                "%(sum)s is still to be paid. Note the payment first, or let the owner release it with a reason."
            )
            % {"sum": money.show(stands.due, stands.currency)}
        )


def deliver(job: Job, by: Actor = HOUSE, on: date | None = None) -> None:
    """It is home. The warranty of mended work starts on that day. Raises Refused for a day that is still to come."""
    day = on or timezone.localdate()
    if day > timezone.localdate():
        raise Refused(_("That day is still to come."), "on")
    with changing(job) as fresh:
        if fresh.holder != Holder.CARRIER or fresh.stage not in (Stage.RETURNED, Stage.WITHDRAWN):
            raise Refused(_("It is not on its way home."))
        _at_home(fresh, by, day)


def _aftercare(job: Job) -> dict[str, Any]:
    """The matters of use behind its story, and habits for its kind of camera (`Aftercare.as_dict`)."""
    found = job.findings.standing().filter(bearing=Bearing.USE)
    told = [Told(finding.title, finding.explanation, finding.shown) for finding in found]
    return aftercare(told, job.item.traits, collection.entries()).as_dict()


def _make_ready(job: Job, by: Actor) -> None:
    if job.quotes.open().exists():
        raise Refused(
            _(
                "A supplementary quote still waits for its answer. Note the answer first, or take the quote back."
            )
        )
    move(job, Stage.READY)
    stands = account(job)
    told = {"return_by": job.return_by, "holder": job.holder, "due": stands.due, "currency": stands.currency}
    journal.append(job, Kind.READY, by, told)


def _at_home(job: Job, by: Actor, day: date) -> None:
    hand_to(job, Holder.NOBODY)
    journal.append(job, Kind.DELIVERED, by, {"on": day.isoformat()})
    if job.stage == Stage.RETURNED:
        begin_warranty(job, day, by)
