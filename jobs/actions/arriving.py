"""On its way, and here."""

from dataclasses import dataclass

from django.utils import timezone
from django.utils.translation import gettext as _

from jobs import journal
from jobs.actions.moving import changing, hand_to, move, require
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.models import Arrival, Job, Kind
from jobs.words import Holder, Stage


@dataclass(frozen=True)
class Parcel:
    """What came out of the parcel."""

    body: bool = True
    lens: bool = False
    caps: bool = False
    case: bool = False
    loose_parts: int = 0
    condition: str = ""


def say_posted(job: Job, by: Actor, sent_with: str = "") -> None:
    """The customer says that it is on its way: it is the carrier's move. `sent_with`: the carrier, or a number to follow it by."""
    with changing(job) as fresh:
        require(fresh, frozenset({Stage.EXPECTED}))
        if fresh.holder == Holder.CARRIER:
            return
        hand_to(fresh, Holder.CARRIER)
        journal.append(fresh, Kind.POSTED, by, {"sent_with": sent_with})


def receive(job: Job, parcel: Parcel, by: Actor) -> Arrival:
    """The parcel is here: note what came and in what condition. Raises Refused when nothing came."""
    if not (parcel.body or parcel.lens or parcel.loose_parts):
        raise Refused(_("Tick at least one thing that came."), "body")
    with changing(job) as fresh:
        move(fresh, Stage.ARRIVED)
        arrival = Arrival.objects.create(job=fresh, at=timezone.now(), by=by.name, **vars(parcel))
        journal.append(fresh, Kind.ARRIVED, by, vars(parcel))
        return arrival


def start_examination(job: Job, by: Actor) -> None:
    """The item is on the bench to be looked at."""
    with changing(job) as fresh:
        move(fresh, Stage.EXAMINING)
        journal.append(fresh, Kind.EXAMINING, by)
