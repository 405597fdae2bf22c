"""The money part of the customer's page: what is agreed, paid and due, what is asked for now, and how it can be paid."""

from dataclasses import dataclass
from urllib.parse import urlsplit

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from jobs import money as sums
from jobs import stages
from jobs.accounts import Account, account
from jobs.models import Entry, Job, Workshop
from jobs.paying import NoCode, epc_svg
from jobs.ways_to_pay import Ways, ways_to_pay
from jobs.words import Holder, ReturnBy, Stage
from portal.accounts import Shown, shown

HAND_OVER = (Stage.READY, Stage.RETURNED, Stage.WITHDRAWN)


@dataclass(frozen=True)
class Money:
    """`why` says what the sum that is asked for is: deposit, before_post, at_hand_over, owed; or "" where nothing is asked for now."""

    shown: Shown
    why: str
    asked: int
    ways: Ways | None
    code: SafeString | str

    @property
    def account(self) -> Account:
        return self.shown.account

    @property
    def link_host(self) -> str:
        """Where the payment link leads, so that nobody is surprised."""
        return (urlsplit(self.ways.link).hostname or "") if self.ways else ""


def read(job: Job, entries: list[Entry], house: Workshop | None) -> Money | None:
    """None while nothing is agreed and nothing was paid. One query, because the journal has been read; none where there is no answer."""
    stands = account(job, entries)
    if stands.is_empty or house is None:
        return None
    why, asked = _asked(job, stands)
    ways = ways_to_pay(house, job, asked, stands.currency) if asked else None
    return Money(shown(stands), why, asked, ways, _code(ways))


def _asked(job: Job, stands: Account) -> tuple[str, int]:
    if job.stage in stages.MAY_SUPPLEMENT:
        return ("deposit", stands.deposit_due) if stands.deposit_due else ("", 0)
    if job.stage not in HAND_OVER or not stands.due:
        return "", 0
    if job.waits_for_money:
        return "before_post", stands.due
    if job.holder == Holder.CUSTOMER and job.return_by == ReturnBy.COLLECT:
        return "at_hand_over", stands.due
    return "owed", stands.due


def _code(ways: Ways | None) -> SafeString | str:
    """The code for a bank's app, where there is one; its words stand beside it in plain text."""
    if ways is None or not ways.code:
        return ""
    told = {"sum": sums.show(ways.amount, ways.currency), "holder": ways.holder, "reference": ways.reference}
    label = _("Code for a bank’s app: %(sum)s to %(holder)s, reference %(reference)s") % told
    try:
        return epc_svg(ways.code, label)
    except NoCode:
        return ""
