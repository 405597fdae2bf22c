"""Which entries of the journal lead to which letters: one table, and for each letter when it is no longer worth sending.

What is not in the table writes no letter. Carried by another: the answer to the story, the dates given during the examination
(both stand in the quote's letter), the proving (in "ready"), "it is home" (in the warranty's).
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.models import Code, Entry, Finding, Kind, Quote, Tried
from jobs.words import Judgement, Stage
from notifications import paying
from notifications.models import Letter

# Progress that nobody has to act on is news for so long; after that (a long outage) the page tells it better.
NEWS_FOR = timedelta(days=3)
# Findings come in a row. One letter says that they begin to come; the quote's letter carries them all.
ONE_FINDING_LETTER_IN = timedelta(hours=12)


def _always(entry: Entry) -> bool:
    return True


def _no_reason(entry: Entry) -> str:
    return ""


@dataclass(frozen=True)
class Plan:
    """One letter: its kind (a folder of templates/letters) and rules.

    essential: sent whatever the customer said about letters of progress. asked_for: they asked for this very letter, so that their word
    about letters of progress does not touch it; it can be left out like those.
    applies: whether there is such a letter at all. why_not: why it is not worth sending now, or ""; asked when it is written and
    again when it is sent.
    """

    letter: str
    essential: bool = False
    asked_for: bool = False
    to_workshop: bool = False
    applies: Callable[[Entry], bool] = _always
    why_not: Callable[[Entry], str] = _no_reason


def _is_claim(entry: Entry) -> bool:
    return bool(entry.data.get("claim_on"))


def _by_customer(entry: Entry) -> bool:
    return entry.by_kind == "customer"


def _is_last_nudge(entry: Entry) -> bool:
    return bool(entry.data.get("last"))


def _quote(entry: Entry) -> Quote:
    return entry.job.quotes.get(n=entry.data["quote"])


def _quote_is_settled(entry: Entry) -> str:
    if _quote(entry).state == Quote.State.OPEN:
        return ""
    return _("The quote no longer waits for an answer.")


def _quote_is_renewed(entry: Entry) -> str:
    newer = entry.job.quotes.filter(n__gt=entry.data["quote"]).exclude(state=Quote.State.DRAFT)
    return _("There is a newer quote.") if newer.exists() else ""


def _not_at(*stages: Stage) -> Callable[[Entry], str]:
    def why_not(entry: Entry) -> str:
        return "" if entry.job.stage in stages else _("The job has moved on.")

    return why_not


def _is_over(entry: Entry) -> str:
    return _("The job is over.") if entry.job.is_over else ""


def _finding_is_carried(entry: Entry) -> str:
    if not Finding.objects.standing().filter(pk=entry.data["finding"]).exists():
        return _("The finding was taken back.")
    since = entry.at - ONE_FINDING_LETTER_IN
    earlier = Letter.objects.filter(
        job=entry.job_id, kind="finding_posted", entry__at__gte=since, entry__seq__lt=entry.seq
    )
    if earlier.exclude(state=Letter.State.SKIPPED).exists():
        return _("A letter about a finding went out shortly before. This one stands on the page.")
    return ""


def _dates_are_carried(entry: Entry) -> str:
    later = entry.job.entries.filter(seq__gt=entry.seq, kind__in=[Kind.QUOTE_SENT, Kind.PROMISED])
    if entry.job.stage == Stage.EXAMINING or later.filter(kind=Kind.QUOTE_SENT).exists():
        return _("The dates go with the quote.")
    if later.exists():
        return _("Newer dates were given.")
    return _is_over(entry)


def _code_is_idle(entry: Entry) -> str:
    code = Code.objects.filter(pk=entry.data["code"]).first()
    if code is None or code.used_at:
        return _("The code was used.")
    if Code.objects.filter(quote=code.quote_id, device=code.device, pk__gt=code.pk).exists():
        return _("A newer code was asked for.")
    return _quote_is_settled(entry)


def _is_not_covered(entry: Entry) -> bool:
    return bool(entry.data["judgement"] == Judgement.NOT_COVERED)


def _is_no_longer_wanted(entry: Entry) -> str:
    warranty = entry.job.warranty
    if not warranty.wants_reminder:
        return _("They no longer ask for it.")
    return (
        "" if date.fromisoformat(entry.data["last"]) >= timezone.localdate() else _("The warranty has ended.")
    )


def _stops_and_asks(entry: Entry) -> bool:
    return bool(entry.data["then"] == Tried.Then.ASKS)


def _goes_on(entry: Entry) -> bool:
    return not _stops_and_asks(entry)


def _is_no_news(entry: Entry) -> str:
    return _("It was noted by mistake.") if paying.try_was_undone(entry) else _is_over(entry)


def _nobody_read_of_it(entry: Entry) -> str:
    return "" if paying.was_told_of_try(entry) else _("No letter about it had gone out.")


def _quote_followed(entry: Entry) -> str:
    if paying.try_was_undone(entry):
        return _("It was noted by mistake.")
    later = entry.job.entries.filter(seq__gt=entry.seq, kind=Kind.QUOTE_SENT)
    return _("The quote tells of it.") if later.exists() else _is_over(entry)


def _was_a_mistake(entry: Entry) -> str:
    return _("It was noted by mistake.") if paying.was_undone(entry) else ""


def _nobody_was_told(entry: Entry) -> str:
    return "" if paying.had_receipt(entry) else _("No receipt had gone out.")


def _was_collected(entry: Entry) -> str:
    return _("They collected it themselves.") if entry.data["collected"] else ""


PLANS: dict[str, tuple[Plan, ...]] = {
    Kind.BOOKED: (
        Plan("booked", essential=True, applies=lambda entry: not _is_claim(entry)),
        Plan("claim_opened", essential=True, applies=_is_claim),
    ),
    Kind.ARRIVED: (Plan("arrived"),),
    Kind.FINDING_POSTED: (Plan("finding_posted", why_not=_finding_is_carried),),
    Kind.FINDING_CORRECTED: (Plan("finding_corrected"),),
    Kind.FINDING_WITHDRAWN: (Plan("finding_withdrawn"),),
    Kind.QUOTE_SENT: (Plan("quote_sent", essential=True, why_not=_quote_is_settled),),
    Kind.QUOTE_WITHDRAWN: (Plan("quote_withdrawn", essential=True, why_not=_quote_is_renewed),),
    Kind.QUOTE_LAPSED: (Plan("quote_lapsed", essential=True, why_not=_quote_is_renewed),),
    Kind.DECIDED: (
        Plan("decided", essential=True),
        Plan("staff_decided", essential=True, to_workshop=True, applies=_by_customer),
    ),
    # What stops and asks wants an answer; what goes on as agreed is news.
    Kind.TRIED: (
        Plan("tried", essential=True, applies=_stops_and_asks, why_not=_quote_followed),
        Plan("tried", applies=_goes_on, why_not=_is_no_news),
    ),
    Kind.TRY_UNDONE: (Plan("try_undone", essential=True, why_not=_nobody_read_of_it),),
    Kind.PAID: (Plan("paid", essential=True, why_not=_was_a_mistake),),
    Kind.REFUNDED: (Plan("paid", essential=True, why_not=_was_a_mistake),),
    Kind.PAYMENT_UNDONE: (Plan("payment_undone", essential=True, why_not=_nobody_was_told),),
    Kind.ASKED: (Plan("staff_asked", essential=True, to_workshop=True),),
    Kind.ANSWERED: (Plan("answered", essential=True),),
    Kind.PROMISED: (Plan("promised", why_not=_dates_are_carried),),
    Kind.PART_AWAITED: (Plan("part_awaited", why_not=_not_at(Stage.AWAITING_PART)),),
    Kind.NOT_CONTENT: (Plan("not_content", why_not=_is_over),),
    Kind.READY: (Plan("ready", essential=True, why_not=_not_at(Stage.READY)),),
    Kind.SENT_BACK: (Plan("sent_back", essential=True, why_not=_was_collected),),
    Kind.WARRANTY: (Plan("warranty", essential=True),),
    Kind.WITHDRAWN: (
        Plan("withdrawn", essential=True),
        Plan("staff_withdrawn", essential=True, to_workshop=True, applies=_by_customer),
    ),
    # The claim's own job writes to the customer; the workshop hears of it from the old one.
    Kind.CLAIM_OPENED: (Plan("staff_claim", essential=True, to_workshop=True),),
    # Where it is done at no charge, the letter is that of CLAIM_ACCEPTED.
    Kind.CLAIM_JUDGED: (Plan("claim_judged", essential=True, applies=_is_not_covered),),
    Kind.CLAIM_ACCEPTED: (Plan("claim_accepted", essential=True),),
    Kind.WARRANTY_ENDS: (Plan("warranty_ends", asked_for=True, why_not=_is_no_longer_wanted),),
    Kind.NUDGED: (
        Plan("nudged", essential=True, why_not=_quote_is_settled),
        Plan(
            "staff_call", essential=True, to_workshop=True, applies=_is_last_nudge, why_not=_quote_is_settled
        ),
    ),
    Kind.CODE_ASKED: (Plan("code", essential=True, why_not=_code_is_idle),),
    Kind.LINK_ASKED: (Plan("link_asked", essential=True),),
}


def plans_for(entry: Entry) -> list[Plan]:
    return [plan for plan in PLANS.get(entry.kind, ()) if plan.applies(entry)]


def plan_of(letter: Letter) -> Plan:
    """The plan by which a letter was written. Raises KeyError for a kind that the table no longer has."""
    for plan in plans_for(letter.entry):
        if plan.letter == letter.kind:
            return plan
    raise KeyError(letter.kind)


def why_not(plan: Plan, entry: Entry, now: datetime | None = None) -> str:
    """Why a letter is not to be sent now, in words for the office; "" when it is."""
    customer = entry.job.customer
    if not plan.essential and not plan.asked_for and not customer.wants_progress:
        return _("The customer asked for no progress letters.")
    if not plan.essential and entry.at < (now or timezone.now()) - NEWS_FOR:
        return _("It is no longer news.")
    return plan.why_not(entry)
