"""A job ends without repair."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from jobs import journal, money, stages
from jobs.accounts import account
from jobs.actions.moving import changing, move, require
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.models import Job, Kind, Quote, Workshop
from jobs.quoting import Amount, Tax, Total, total
from jobs.words import Holder, ReturnBy, Stage, TaxMode


@dataclass(frozen=True)
class Cost:
    """What taking it back as it is costs: examination once it was examined, and insured post once it is here. Minor units."""

    examination: int
    carriage: int
    sums: Total
    currency: str


def cost_of_leaving(job: Job) -> Cost:
    """What the customer owes when the job ends now. Under a warranty claim, nothing."""
    house = Workshop.objects.current()
    if house is None:
        raise Refused(_("Set up the workshop first."))
    here = Stage(job.stage)
    free = job.claim_on_id is not None
    looked_at = here not in (Stage.EXPECTED, Stage.ARRIVED)
    sent_here = here not in stages.BEFORE_ARRIVAL and job.return_by == ReturnBy.POST
    examination = house.assessment_fee if looked_at and not free else 0
    carriage = house.carriage_fee if sent_here and not free else 0
    tax = Tax(rate_bp=house.tax_rate_bp)
    sums = total([Amount(examination, tax), Amount(carriage, tax)], TaxMode(house.tax_mode))
    return Cost(examination, carriage, sums, house.currency)


def withdraw(job: Job, by: Actor, because: str = "", seen: int | None = None) -> None:
    """It goes back unrepaired, at any point before the work. An open quote can no longer be answered.

    `seen`: what they were told that it costs, in minor units. Raises Refused where it costs something else by now.
    """
    with changing(job) as fresh:
        require(fresh, stages.MAY_WITHDRAW)
        if fresh.stage == Stage.EXPECTED and fresh.holder == Holder.CARRIER:
            raise Refused(_("It is on its way to us. Once it is here, it can be sent back as it is."))
        cost = cost_of_leaving(fresh)
        if seen is not None and seen != cost.sums.gross:
            raise Refused(
                _(
                    "While you were reading, what it costs became %(sum)s. Nothing was done. Please look once more."
                )
                % {"sum": money.show(cost.sums.gross, cost.currency)}
            )
        fresh.quotes.filter(state__in=[Quote.State.OPEN, Quote.State.DRAFT]).update(
            state=Quote.State.REPLACED
        )
        move(fresh, Stage.WITHDRAWN, due=cost.sums.gross - account(fresh).paid)
        journal.append(
            fresh,
            Kind.WITHDRAWN,
            by,
            {
                "because": because,
                "cost": cost.sums.gross,
                "currency": cost.currency,
                "holder": fresh.holder,
            },
        )
