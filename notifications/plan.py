"""Which entries of the journal lead to which letters: one table, and how each letter goes.

What is not in the table writes no letter. Carried by another: the answer to the story, the dates given during the examination
(both stand in the quote's letter), the proving (in "ready"), "it is home" (in the warranty's).
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import partial

from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.models import Entry, Kind
from jobs.words import Owes, Stage
from notifications import hours, reasons
from notifications.models import Letter

# Progress that nobody has to act on is news for so long; after that (a long outage) the page tells it better.
NEWS_FOR = timedelta(days=3)


def _always(entry: Entry) -> bool:
    return True


def _no_reason(entry: Entry) -> str:
    return ""


@dataclass(frozen=True)
class Plan:
    """One letter: its kind (a folder of templates/letters) and rules.

    essential: sent whatever the customer said about letters of progress. asked_for: they asked for this very letter, so that their word
    about letters of progress does not touch it; it can be left out like those.
    urgent: goes at once and alone; any other waits a little for company, and for the day. by_day: alone, but never at night or on a
    day off. beside: a text or a notice goes beside the e-mail to who asked for that, because it waits for them.
    by_mail_only: it is good for nothing in a short message.
    applies: whether there is such a letter at all. why_not: why it is not worth sending now, or ""; asked when it is written and
    again when it is sent.
    """

    letter: str
    essential: bool = False
    asked_for: bool = False
    urgent: bool = False
    by_day: bool = False
    beside: bool = False
    by_mail_only: bool = False
    to_workshop: bool = False
    applies: Callable[[Entry], bool] = _always
    why_not: Callable[[Entry], str] = _no_reason


_needed = partial(Plan, essential=True)
_at_once = partial(_needed, urgent=True)
_answer_me = partial(_at_once, beside=True)
_to_us = partial(_at_once, to_workshop=True)


NUDGES = {
    Owes.QUOTE: "nudged",
    Owes.QUESTION: "nudged_question",
    Owes.PAYMENT: "nudged_payment",
    Owes.COLLECTION: "nudged_collection",
}
PLANS: dict[str, tuple[Plan, ...]] = {
    Kind.BOOKED: (
        _at_once("booked", applies=lambda entry: not reasons.is_claim(entry)),
        _at_once("claim_opened", applies=reasons.is_claim),
    ),
    Kind.ARRIVED: (Plan("arrived", why_not=reasons.quote_tells_more),),
    Kind.FINDING_POSTED: (Plan("finding_posted", why_not=reasons.finding_is_carried),),
    Kind.FINDING_CORRECTED: (Plan("finding_corrected"),),
    Kind.FINDING_WITHDRAWN: (Plan("finding_withdrawn"),),
    Kind.QUOTE_SENT: (_answer_me("quote_sent", why_not=reasons.quote_is_settled),),
    Kind.QUOTE_WITHDRAWN: (_at_once("quote_withdrawn", why_not=reasons.quote_is_renewed),),
    Kind.QUOTE_LAPSED: (_needed("quote_lapsed", why_not=reasons.quote_is_renewed),),
    Kind.DECIDED: (_at_once("decided"), _to_us("staff_decided", applies=reasons.by_customer)),
    # What stops and asks wants an answer; what goes on as agreed is news.
    Kind.TRIED: (
        _answer_me("tried", applies=reasons.stops_and_asks, why_not=reasons.quote_followed),
        Plan("tried", applies=reasons.goes_on, why_not=reasons.is_no_news),
    ),
    Kind.TRY_UNDONE: (_needed("try_undone", why_not=reasons.nobody_read_of_it),),
    Kind.PAID: (_at_once("paid", why_not=reasons.was_a_mistake),),
    Kind.REFUNDED: (_at_once("paid", why_not=reasons.was_a_mistake),),
    Kind.PAYMENT_UNDONE: (_needed("payment_undone", why_not=reasons.nobody_was_told),),
    Kind.ASKED: (_to_us("staff_asked"),),
    Kind.ANSWERED: (_answer_me("answered"),),
    Kind.ENQUIRED: (_answer_me("enquired", why_not=reasons.enquiry_is_closed),),
    Kind.ENQUIRY_ANSWERED: (_to_us("staff_answered", applies=reasons.by_customer),),
    Kind.PROMISED: (Plan("promised", why_not=reasons.dates_are_carried),),
    Kind.PART_AWAITED: (Plan("part_awaited", why_not=reasons.not_at(Stage.AWAITING_PART)),),
    Kind.NOT_CONTENT: (Plan("not_content", why_not=reasons.is_over),),
    Kind.READY: (_answer_me("ready", why_not=reasons.not_at(Stage.READY)),),
    Kind.SENT_BACK: (_needed("sent_back", why_not=reasons.was_collected),),
    Kind.WARRANTY: (_needed("warranty"),),
    Kind.WITHDRAWN: (_at_once("withdrawn"), _to_us("staff_withdrawn", applies=reasons.by_customer)),
    # The claim's own job writes to the customer; the workshop hears of it from the old one.
    Kind.CLAIM_OPENED: (_to_us("staff_claim"),),
    # Where it is done at no charge, the letter is that of CLAIM_ACCEPTED.
    Kind.CLAIM_JUDGED: (_at_once("claim_judged", applies=reasons.is_not_covered),),
    Kind.CLAIM_ACCEPTED: (_at_once("claim_accepted"),),
    Kind.WARRANTY_ENDS: (Plan("warranty_ends", asked_for=True, why_not=reasons.is_no_longer_wanted),),
    Kind.NUDGED: (
        *(
            _answer_me(letter, by_day=True, applies=reasons.asks_for(about), why_not=reasons.no_longer_owed)
            for about, letter in NUDGES.items()
        ),
        _to_us("staff_call", applies=reasons.is_last_nudge, why_not=reasons.no_longer_owed),
    ),
    Kind.CODE_ASKED: (_at_once("code", by_mail_only=True, why_not=reasons.code_is_idle),),
    Kind.LINK_ASKED: (_at_once("link_asked", by_mail_only=True),),
    Kind.CAME_BACK: (_to_us("staff_came_back"),),
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
    if not plan.essential and not plan.asked_for and not entry.job.customer.wants_progress:
        return _("The customer asked for no progress letters.")
    if not plan.essential and _is_stale(entry, now or timezone.now()):
        return _("It is no longer news.")
    return plan.why_not(entry)


def _is_stale(entry: Entry, now: datetime) -> bool:
    """Not counting what a letter had to wait for the end of a night or of holidays."""
    limit = now - NEWS_FOR
    return entry.at < limit and hours.with_company(entry.job.customer, entry.at) < limit
