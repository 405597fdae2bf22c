"""Money that somebody has to pay now: a deposit, what is due before it goes home, or what went home before it was paid."""

from collections import defaultdict

from jobs.accounts import Account, accounts
from jobs.models import Job
from jobs.words import Stage
from portal.office import asks

MOST = 50  # of those that wait here, and of those that went home


def to_pay() -> list[tuple[Job, Account]]:
    """Jobs and their accounts: the longest wait first, then those that the owner let go, the latest first."""
    here = list(asks.may_wait_for_money().with_people().order_by("holder_since", "pk")[:MOST])
    gone = asks.let_go().with_people().exclude(pk__in=[job.pk for job in here])
    jobs = [*here, *gone[:MOST]]
    stand = accounts(jobs)
    return [(job, stand[job.pk]) for job in jobs if asked_now(job, stand[job.pk])]


def asked_now(job: Job, account: Account) -> int:
    """Minor units: before the work only the missing deposit, afterwards all that is due."""
    return account.deposit_due if job.stage == Stage.AGREED else account.due


def sums_to_pay() -> list[tuple[str, int]]:
    """Minor units by currency."""
    found: dict[str, int] = defaultdict(int)
    for job, account in to_pay():
        found[account.currency] += asked_now(job, account)
    return sorted(found.items())
