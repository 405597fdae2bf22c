"""By which ways somebody is told something: the e-mail first; a text or a notice beside it where they wait for it and asked for that;
and the next way when one is dead.
"""

from typing import Any

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from jobs.actions.moving import changing
from jobs.models import Customer, Workshop
from jobs.words import Way
from notifications.channels import CHANNELS
from notifications.lost import LOST
from notifications.models import DeadAddress, Letter, TextGateway
from notifications.plan import Plan, plan_of

DEVICES = "devices"  # where a notice goes: to all devices of theirs that take some
ORDER = (Way.EMAIL, Way.TEXT, Way.PUSH)
State = Letter.State


def ways_for(person: Customer | None, plan: Plan, chosen: str = "") -> list[Way]:
    """The ways that a letter of this plan takes to somebody now; none when they cannot be reached. None is the workshop itself.

    `chosen`: by this one alone, if it is open (a step of the plan of reminders names one).
    """
    if person is None:
        return [Way.EMAIL] if address_on_file(None, Way.EMAIL) else []
    open_ones = [way for way in ORDER if _suits(plan, way) and address_for(person, way)]
    if chosen in open_ones:
        return [Way(chosen)]
    if Way.EMAIL in open_ones and not chosen:
        return open_ones if plan.beside else [Way.EMAIL]
    return open_ones[:1]


def address_for(person: Customer | None, way: Way | str) -> str:
    """Where it goes to by this way; "" where they cannot be reached by it, or where it is known to be dead."""
    address = address_on_file(person, way)
    if not address or way not in CHANNELS:
        return ""
    if way != Way.PUSH and is_dead(way, address):
        return ""
    if way == Way.TEXT and not TextGateway.objects.exists():
        return ""
    return address


def address_on_file(person: Customer | None, way: Way | str) -> str:
    """What we have for it, dead or alive: an e-mail address, a number that they want texts at, or DEVICES."""
    if person is None:
        house = Workshop.objects.current()
        return house.email if house and way == Way.EMAIL else ""
    if way == Way.EMAIL:
        return person.email
    if way == Way.TEXT:
        return person.text_to if person.wants_texts else ""
    return DEVICES if person.subscriptions.exists() else ""


def is_dead(way: Way | str, address: str) -> bool:
    return DeadAddress.objects.filter(way=way, address=address.lower()).exists()


def next_way(letter: Letter) -> Way | None:
    """The way to try when this letter did not get through; None when they are told by another already, or when there is none."""
    if letter.person is None:
        return None
    others = Letter.objects.filter(entry=letter.entry_id, person=letter.person_id).exclude(pk=letter.pk)
    if others.exclude(state__in=LOST).exists():
        return None
    tried = {letter.channel, *others.values_list("channel", flat=True)}
    plan = _plan(letter)
    for way in ORDER:
        if plan and way not in tried and _suits(plan, way) and address_for(letter.person, way):
            return way
    return None


def turn_to_next(letter: Letter) -> Letter | None:
    """Write the letter of the same entry by the next way, with all that this one carried: once, whoever asks. None when there is none.

    Called when the letter has come to its end, within the same transaction and its job's lock.
    """
    from notifications import writing  # it asks here for ways

    letter = Letter.objects.select_related("entry__job__customer", "person").get(pk=letter.pk)
    try:
        with transaction.atomic():
            way, plan = next_way(letter), _plan(letter)
            if way is None or plan is None:
                return None
            turned = writing.write_by(letter.entry, plan, way)
            for carried in letter.carries.select_related("entry__job__customer", "person"):
                _take_along(carried, turned, way)
    except IntegrityError:  # somebody was quicker
        return None
    return turned


def leave(way: Way | str, address: str) -> list[Letter]:
    """An address has turned out to be dead: what still waits to go there ends now and takes the next way. Returns what is written anew.

    Called outside of a transaction: the letters may be about several jobs, whose locks are taken one after the other.
    """
    waiting = Letter.objects.to_customers().filter(
        channel=way, to_address__iexact=address, state=State.WAITING, by_hand=False
    )
    turned = []
    for letter in waiting.defer("text", "html").select_related("job", "person"):
        if address_on_file(letter.person, way).lower() != address.lower():
            continue  # it has been corrected: the letter goes to the new one when its time comes
        with changing(letter.job):
            if Letter.objects.filter(pk=letter.pk, state=State.WAITING).update(**_ended(letter)):
                turned.append(turn_to_next(letter))
    return [letter for letter in turned if letter]


def _ended(letter: Letter) -> dict[str, Any]:
    """As a letter is written to an address that is dead already: what they need to know shows in the office, progress is left out."""
    state, field = (State.FAILED, "last_error") if letter.essential else (State.SKIPPED, "why")
    return {"state": state, field: dead_words(letter.to_address), "next_attempt_at": None}


def dead_words(address: str) -> str:
    return _("An earlier letter to %(address)s came back.") % {"address": address}


def _take_along(carried: Letter, turned: Letter, way: Way) -> None:
    """What the lost letter carried goes by the new one: its message leads to the page, where all of it stands."""
    from notifications import writing

    plan = _plan(carried)
    if plan and next_way(carried) == way:
        along = writing.write_by(carried.entry, plan, way)
        if along.state == State.WAITING:
            along.state, along.carried_by, along.next_attempt_at = State.CARRIED, turned, None
            along.save(update_fields=["state", "carried_by", "next_attempt_at"])


def _plan(letter: Letter) -> Plan | None:
    try:
        return plan_of(letter)
    except KeyError:
        return None


def _suits(plan: Plan, way: Way) -> bool:
    """A text costs money and rings: never for mere progress. A notice may stand in for it."""
    if way == Way.EMAIL:
        return True
    return not plan.by_mail_only and (plan.essential or way == Way.PUSH)
