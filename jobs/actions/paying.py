"""Money that changed hands, noted by us; and an item that the owner lets go before all of it has."""

from dataclasses import dataclass, replace
from datetime import date

from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs import journal, money, stages
from jobs.accounts import Account, Entered, account
from jobs.actions.moving import changing, hand_back, may_leave
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.models import Job, Kind, Payment, Released, Workshop
from jobs.words import PaymentKind

MOST = 100_000_000  # minor units; more is a slip of the finger


@dataclass(frozen=True)
class Paid:
    """`amount` in minor units, above nothing. `kind` and `way`: values of PaymentKind and PaymentWay."""

    kind: str
    way: str
    amount: int
    on: date
    note: str = ""


def note_payment(job: Job, paid: Paid, once: str, by: Actor) -> Payment:
    """Note money that came, or went back. `once` makes the same form sent twice one payment.

    Raises Refused for no amount, a day that is still to come, a refund of more than was paid, or a job without anything to pay.
    """
    if not 0 < paid.amount <= MOST:
        raise Refused(_("Type how much it was."), "amount")
    if paid.on > timezone.localdate():
        raise Refused(_("That day is still to come."), "on")
    with changing(job) as fresh:
        if twin := Payment.objects.filter(once=once, job=fresh).first():
            return twin
        stands = account(fresh)
        if paid.kind == PaymentKind.REFUND and paid.amount > stands.paid:
            paid_in = money.show(stands.paid, stands.currency or _currency())
            said = _("Only %(sum)s was paid.") % {"sum": paid_in}
            raise Refused(said if stands.paid else _("Nothing was paid yet."), "amount")
        payment = _store(fresh, paid, once, by, stands.currency or _currency())
        back = paid.kind == PaymentKind.REFUND
        _pass_on(fresh, stands, -paid.amount if back else paid.amount)
        told = _told(payment) | {"holder": fresh.holder}
        journal.append(fresh, Kind.REFUNDED if back else Kind.PAID, by, told)
        return payment


def undo_payment(payment: Payment, because: str, by: Actor) -> None:
    """Take back a payment that was noted by mistake: both stay in the journal. Raises Refused without a reason, or a second time."""
    if not because.strip():
        raise Refused(_("Say what was wrong with it."), "because")
    with changing(payment.job) as fresh:
        if payment.reverses_id or Payment.objects.filter(reverses=payment).exists():
            raise Refused(_("That has been taken back already."))
        back = payment.kind == PaymentKind.REFUND
        stands = account(fresh)
        if not back and stands.paid < payment.amount:
            raise Refused(_("Some of it went back to them. Take the refund back first."))
        Payment.objects.create(
            job=fresh,
            once=f"undo-{payment.pk}",
            kind=payment.kind,
            way=payment.way,
            amount=payment.amount,
            currency=payment.currency,
            on=timezone.localdate(),
            note=because.strip()[:200],
            reverses=payment,
            at=timezone.now(),
            by=by.name,
        )
        _pass_on(fresh, stands, payment.amount if back else -payment.amount)
        journal.append(
            fresh,
            Kind.PAYMENT_UNDONE,
            by,
            {
                "payment": payment.pk,
                "kind": payment.kind,
                "amount": payment.amount,
                "currency": payment.currency,
                "because": because.strip(),
                "holder": fresh.holder,
            },
        )


def release(job: Job, because: str, by: Actor) -> Released:
    """The owner lets it go home with what is due now, and no more. Raises Refused without a reason, or when nothing is owed."""
    if not because.strip():
        raise Refused(_("Say why, for whoever asks later."), "because")
    with changing(job) as fresh:
        if fresh.stage not in stages.TO_LEAVE or may_leave(fresh):
            raise Refused(_("Nothing keeps it here."))
        said = {"because": because.strip()[:300], "at": timezone.now(), "by": by.name}
        row, _new = Released.objects.update_or_create(job=fresh, defaults=said)
        stands = account(fresh)
        hand_back(fresh, stands, released=True)
        told = {"because": row.because, "due": stands.due, "currency": stands.currency}
        journal.append(fresh, Kind.RELEASED, by, told | {"holder": fresh.holder})
        return row


def _store(job: Job, paid: Paid, once: str, by: Actor, currency: str) -> Payment:
    try:
        with transaction.atomic():
            return Payment.objects.create(
                job=job,
                once=once,
                kind=paid.kind,
                way=paid.way,
                amount=paid.amount,
                currency=currency,
                on=paid.on,
                note=paid.note.strip()[:200],
                at=timezone.now(),
                by=by.name,
            )
    except IntegrityError as clash:  # the key belongs to another job's form
        raise Refused(_("This form was sent for another job. Load the page again.")) from clash


def _pass_on(job: Job, stands: Account, came: int) -> None:
    """Whose move it is once `came` (minor units, below nothing when it went) is in the account: the entry says so, and follows."""
    entered = Entered(0, "", "", came, "")
    hand_back(job, replace(stands, payments=[*stands.payments, entered]))


def _told(payment: Payment) -> dict[str, object]:
    return {
        "payment": payment.pk,
        "kind": payment.kind,
        "way": payment.way,
        "amount": payment.amount,
        "currency": payment.currency,
        "on": payment.on.isoformat(),
        "note": payment.note,
    }


def _currency() -> str:
    house = Workshop.objects.current()
    return house.currency if house else "GBP"
