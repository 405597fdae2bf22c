"""The work shows it: what came out of a try, what follows from it, and what an "up to" line came to in the end."""

from dataclasses import dataclass

from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs import journal, money, stages
from jobs.actions.moving import changing, hand_back, require
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.adding_up import as_done
from jobs.evidence import sheet
from jobs.models import Decision, FinalPrice, Job, Kind, Line, Outcome, Quote, Tried
from jobs.words import Stage

MAY_PRICE = stages.MAY_SUPPLEMENT | {Stage.READY}
# Nothing is tried before the work has begun.
MAY_TRY = stages.MAY_SUPPLEMENT - {Stage.AGREED}


def note_outcome(line: Line, outcome: Outcome, by: Actor, note: str = "") -> Tried:
    """What came out of a try-first line, and what follows: the branch that was agreed, if it stays under their ceiling; a stop; nothing.

    Raises Refused for a line that was not agreed or was tried before, or an outcome of another line.
    """
    if outcome.line_id != line.pk:
        raise Refused(_("That outcome belongs to another line."), "outcome")
    with changing(line.quote.job) as job:
        require(job, MAY_TRY)
        decision = _agreed(line)
        if Tried.objects.filter(line=line).exists():
            raise Refused(_("What came out of this is noted already."))
        then, follow_on, over = _what_follows(decision, outcome)
        tried = Tried.objects.create(
            line=line,
            outcome=outcome,
            then=then,
            follow_on=follow_on,
            over_ceiling=over,
            note=note.strip()[:300],
            at=timezone.now(),
            by=by.name,
        )
        journal.append(job, Kind.TRIED, by, _told(tried, decision))
        return tried


def undo_outcome(line: Line, because: str, by: Actor) -> None:
    """Take back what was noted of a try by mistake: it waits to be noted again, and both stay in the journal.

    Raises Refused without a reason, or when nothing is noted.
    """
    if not because.strip():
        raise Refused(_("Say what was wrong with it."), "because")
    with changing(line.quote.job) as job:
        require(job, MAY_TRY)
        tried = Tried.objects.select_related("outcome", "line").filter(line=line).first()
        if tried is None:
            raise Refused(_("Nothing is noted of this."))
        told = {"quote": line.quote.n, "line": line.pk, "title": tried.line.title}
        told |= {"came_out": tried.outcome.title, "because": because.strip()[:300]}
        tried.delete()
        journal.append(job, Kind.TRY_UNDONE, by, told)


def note_final_price(line: Line, price: int, by: Actor, note: str = "") -> FinalPrice:
    """What an "up to" line came to, in minor units. Raises Refused for more than was agreed, or less than the least that was named, and
    for what would take the whole past their ceiling: they were promised to be asked before that.
    """
    with changing(line.quote.job) as job:
        require(job, MAY_PRICE)
        decision = _agreed(line)
        if not line.up_to:
            raise Refused(_("The price of this line is fixed."))
        if not line.least <= price <= line.price:
            currency = decision.quote.currency
            raise Refused(
                _("It was agreed at %(least)s to %(most)s.")
                % {"least": money.show(line.least, currency), "most": money.show(line.price, currency)},
                "price",
            )
        _must_stay_within(decision, line, price)
        row, _made = FinalPrice.objects.update_or_create(
            line=line,
            defaults={"price": price, "note": note.strip()[:300], "at": timezone.now(), "by": by.name},
        )
        told = {"quote": line.quote.n, "line": line.pk, "title": line.title, "price": price}
        journal.append(job, Kind.PRICED, by, told | {"currency": decision.quote.currency, "note": row.note})
        hand_back(job)  # more may be due now, or nothing any longer
        return row


def waiting_tries(job: Job) -> list[Line]:
    """Try-first lines that were agreed and of which nobody has noted yet what came out."""
    return list(
        Line.objects.filter(
            quote__job=job, choice__yes=True, outcomes__isnull=False, tried__isnull=True, outcome__isnull=True
        )
        .distinct()
        .select_related("quote__job")
        .prefetch_related("outcomes__follow_ons__choice")
        .order_by("quote__n", "position")
    )


@dataclass(frozen=True)
class Road:
    """Where an outcome would lead: what then, the follow-on that would come about, and whether their ceiling is what would stop it."""

    outcome: Outcome
    then: Tried.Then
    follow_on: Line | None
    over_ceiling: bool


def roads(line: Line) -> list[Road]:
    """Where each outcome of an agreed try would lead if it were noted now. Raises Refused for a line that was not agreed."""
    decision = _agreed(line)
    return [Road(outcome, *_what_follows(decision, outcome)) for outcome in line.outcomes.all()]


def up_to_lines(job: Job) -> list[Line]:
    """Lines at an "up to" price that were agreed and come about, with their `final_price` if they have one."""
    agreed = Line.objects.filter(quote__job=job, up_to=True, choice__yes=True)
    there = agreed.filter(Q(outcome__isnull=True) | Q(followed__isnull=False))
    return list(
        there.distinct().select_related("quote__job", "final_price").order_by("quote__n", "position", "pk")
    )


def _agreed(line: Line) -> Decision:
    decision = Decision.objects.filter(quote=line.quote_id, choices__line=line, choices__yes=True).first()
    if decision is None:
        raise Refused(_("This line was not agreed."))
    return decision


def _what_follows(decision: Decision, outcome: Outcome) -> tuple[Tried.Then, Line | None, bool]:
    """The road from here: what then, the follow-on that comes about, and whether the ceiling is what stops it."""
    if outcome.stops:
        return Tried.Then.ENDS, None, False
    follow_ons = list(outcome.follow_ons.all())
    if not follow_ons:
        return Tried.Then.NOTHING, None, False
    agreed = decision.choices.filter(line__in=follow_ons, yes=True).select_related("line").first()
    if agreed is None:
        return Tried.Then.ASKS, None, False
    if decision.ceiling is not None and _would_come_to(decision, agreed.line) > decision.ceiling:
        return Tried.Then.ASKS, None, True
    return Tried.Then.GOES_ON, agreed.line, False


def _must_stay_within(decision: Decision, line: Line, price: int) -> None:
    """Other "up to" prices may still come to their least; with them at that, and this one at `price`, their ceiling must hold."""
    if decision.ceiling is None:
        return
    least = dict(Line.objects.filter(quote=line.quote_id, up_to=True).values_list("pk", "least"))
    prices = least | _final_prices(decision.quote) | {line.pk: price}
    if _comes_to(decision, _followed(decision.quote), prices) > decision.ceiling:
        raise Refused(
            _("That would take it past their ceiling of %(sum)s. Ask them first.")
            % {"sum": money.show(decision.ceiling, decision.quote.currency)},
            "price",
        )


def _would_come_to(decision: Decision, follow_on: Line) -> int:
    """Gross of the answer with everything that has come about so far, and this follow-on. "Up to" prices count in full until final."""
    followed = _followed(decision.quote) | {follow_on.pk}
    return _comes_to(decision, followed, _final_prices(decision.quote))


def _comes_to(decision: Decision, followed: set[int], prices: dict[int, int]) -> int:
    yes = set(decision.choices.filter(yes=True).values_list("line", flat=True))
    _rows, sums = as_done(sheet(decision.quote), yes, followed, prices)
    return sums.gross


def _followed(quote: Quote) -> set[int]:
    came_about = Tried.objects.filter(line__quote=quote, follow_on__isnull=False)
    return set(came_about.values_list("follow_on", flat=True))


def _final_prices(quote: Quote) -> dict[int, int]:
    return dict(FinalPrice.objects.filter(line__quote=quote).values_list("line", "price"))


def _told(tried: Tried, decision: Decision) -> dict[str, object]:
    follow_on = tried.follow_on
    return {
        "quote": decision.quote.n,
        "line": tried.line_id,
        "title": tried.line.title,
        "outcome": tried.outcome_id,
        "key": tried.outcome.key,
        "came_out": tried.outcome.title,
        "then": tried.then,
        "follow_on": follow_on.pk if follow_on else None,
        "follow_on_title": follow_on.title if follow_on else "",
        "price": follow_on.price if follow_on else 0,
        "over_ceiling": tried.over_ceiling,
        "ceiling": decision.ceiling,
        "currency": decision.quote.currency,
        "note": tried.note,
    }
