"""What a customer agreed, paid and owes, read from the job's journal: two queries for any job, or for many together.

The journal has the answers line by line, what came out of each try, final prices and payments; the quotes have what the lines cost.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from jobs.adding_up import as_done, credit_of
from jobs.evidence import content, sheet_of
from jobs.models import Entry, Job, Kind, Quote
from jobs.quoting import Group

MONEY = (
    Kind.DECIDED,
    Kind.TRIED,
    Kind.TRY_UNDONE,
    Kind.PRICED,
    Kind.PAID,
    Kind.REFUNDED,
    Kind.PAYMENT_UNDONE,
    Kind.WITHDRAWN,
    Kind.SENT_BACK,
)


@dataclass(frozen=True)
class Entered:
    """One payment as it was noted. `amount` in minor units, below nothing for a refund."""

    id: int
    kind: str
    way: str
    amount: int
    on: str
    note: str = ""


@dataclass(frozen=True)
class Account:
    """Minor units of `currency`, with tax. `rows` are what is owed for; `deposit` what was asked beforehand.

    due: still to be paid, never below nothing. over: paid too much.
    """

    currency: str
    agreed: int = 0
    rows: list[tuple[str, int]] = field(default_factory=list)
    groups: list[Group] = field(default_factory=list)
    credit: int = 0
    tax_added: bool = False
    tax_name: str = ""
    tax: int = 0
    deposit: int = 0
    payments: list[Entered] = field(default_factory=list)

    @property
    def paid(self) -> int:
        return sum(each.amount for each in self.payments)

    @property
    def due(self) -> int:
        return max(0, self.agreed - self.paid)

    @property
    def over(self) -> int:
        return max(0, self.paid - self.agreed)

    @property
    def deposit_due(self) -> int:
        """What of the deposit is missing; never more than is due at all."""
        return max(0, min(self.deposit - self.paid, self.due))

    @property
    def is_settled(self) -> bool:
        return self.due == 0

    @property
    def is_empty(self) -> bool:
        return not (self.agreed or self.payments)


def account(
    job: Job, entries: Iterable[Entry] | None = None, quotes: Iterable[Quote] | None = None
) -> Account:
    """`entries`: the job's journal, `quotes`: its answered ones, where the caller has read them already."""
    if entries is None:
        entries = job.entries.filter(kind__in=MONEY).order_by("seq")
    told = [(entry.kind, entry.data) for entry in entries if entry.kind in MONEY]
    payments = _payments(told)
    if any(_left_before_money_was_noted(kind, data) for kind, data in told):
        return Account(_paid_in(told), payments=payments)
    if gone := [data for kind, data in told if kind == Kind.WITHDRAWN]:
        last = gone[-1]
        return Account(last["currency"] or _currency(job), last["cost"], payments=payments)
    if not any(kind == Kind.DECIDED for kind, _data in told):
        return Account(_paid_in(told), payments=payments)
    answered = job.quotes.filter(state=Quote.State.ANSWERED) if quotes is None else quotes
    return _agreed(job, {quote.n: quote for quote in answered}, told, payments)


def accounts(jobs: Iterable[Job]) -> dict[int, Account]:
    """The accounts of many jobs by primary key, in two queries however many there are."""
    of = {job.pk: job for job in jobs}
    entries: dict[int, list[Entry]] = defaultdict(list)
    for entry in Entry.objects.filter(job__in=of, kind__in=MONEY).order_by("job", "seq"):
        entries[entry.job_id].append(entry)
    quotes: dict[int, list[Quote]] = defaultdict(list)
    for quote in Quote.objects.filter(job__in=of, state=Quote.State.ANSWERED):
        quotes[quote.job_id].append(quote)
    return {pk: account(job, entries[pk], quotes[pk]) for pk, job in of.items()}


def _agreed(
    job: Job, quotes: dict[int, Quote], told: list[tuple[str, dict[str, Any]]], payments: list[Entered]
) -> Account:
    followed = _followed(told)
    final = {data["line"]: data["price"] for kind, data in told if kind == Kind.PRICED}
    rows: list[tuple[str, int]] = []
    groups: list[Group] = []
    agreed = credit = tax = deposit = 0
    last: Quote | None = None
    for kind, data in told:
        if kind != Kind.DECIDED or data["quote"] not in quotes:
            continue
        quote = quotes[data["quote"]]
        if quote.is_supplementary and not data["agreed"]:
            continue
        sheet = sheet_of(content(quote))
        yes = {line for line, wanted in data["choices"] if wanted}
        lines, sums = as_done(sheet, yes, followed, final)
        rows += lines
        groups += sums.groups
        agreed, tax = agreed + sums.gross, tax + sums.tax
        credit += credit_of(sheet, yes)
        deposit += quote.deposit if data["agreed"] else 0
        last = quote
    if last is None:
        return Account(_currency(job), payments=payments)
    return Account(
        currency=last.currency,
        agreed=agreed,
        rows=rows,
        groups=groups,
        credit=credit,
        tax_added=last.tax_mode == "added",
        tax_name=last.tax_name,
        tax=tax,
        deposit=min(deposit, agreed),
        payments=payments,
    )


def _left_before_money_was_noted(kind: str, data: dict[str, Any]) -> bool:
    """Sent home while payments stood in another book: whether it was paid nobody knows here, so nothing is asked for.

    Entries from before payments were noted do not say how an item was left.
    """
    return kind == Kind.SENT_BACK and "left_as" not in data


def _followed(told: list[tuple[str, dict[str, Any]]]) -> set[int]:
    """Follow-ons that came about; what was noted of a try by mistake counts for nothing."""
    found: dict[int, int] = {}
    for kind, data in told:
        if kind == Kind.TRIED and data["then"] == "goes_on":
            found[data["line"]] = data["follow_on"]
        elif kind == Kind.TRY_UNDONE:
            found.pop(data["line"], None)
    return set(found.values())


def _payments(told: list[tuple[str, dict[str, Any]]]) -> list[Entered]:
    undone = {data["payment"] for kind, data in told if kind == Kind.PAYMENT_UNDONE}
    return [
        Entered(
            id=data["payment"],
            kind=data["kind"],
            way=data["way"],
            amount=data["amount"] if kind == Kind.PAID else -data["amount"],
            on=data["on"],
            note=data.get("note", ""),
        )
        for kind, data in told
        if kind in (Kind.PAID, Kind.REFUNDED) and data["payment"] not in undone
    ]


def _paid_in(told: list[tuple[str, dict[str, Any]]]) -> str:
    """The currency of what was paid, where nothing was agreed; "" without a payment."""
    return next((data["currency"] for kind, data in told if kind in (Kind.PAID, Kind.REFUNDED)), "")


def _currency(job: Job) -> str:
    """Of a job that owes nothing by a quote: that of its last quote, or of the workshop."""
    from jobs.models import Workshop

    last = job.quotes.order_by("-n").values_list("currency", flat=True).first()
    house = Workshop.objects.current()
    return last or (house.currency if house else "GBP")
