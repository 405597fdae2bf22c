"""How a sum can be paid: what a page or a letter says about it, put together from the workshop's settings. No card data, ever."""

from dataclasses import dataclass
from urllib.parse import quote, urlsplit

from jobs import money, refs
from jobs.models import Job, Workshop
from jobs.paying import BadReference, creditor_reference, epc_payload, show_iban, show_reference

PLACES = ("{reference}", "{amount}")  # what a payment link may have filled in
EURO = "EUR"


@dataclass(frozen=True)
class Ways:
    """`amount` in minor units of `currency`. `reference` and `iban` as people read them, in groups of four; `code` is what a bank's
    app reads (`jobs.paying.epc_payload`). Each is "" where the workshop has none.
    """

    amount: int
    currency: str
    reference: str = ""
    words: str = ""
    holder: str = ""
    iban: str = ""
    bic: str = ""
    link: str = ""
    code: str = ""

    @property
    def is_empty(self) -> bool:
        return not (self.words or self.iban or self.link)


def ways_to_pay(house: Workshop, job: Job, amount: int, currency: str) -> Ways:
    """Everything that the workshop has said about paying, for `amount` of this job."""
    reference = reference_of(job)
    return Ways(
        amount=amount,
        currency=currency,
        reference=show_reference(reference) if reference != job.shown_ref else reference,
        words=house.account_words.strip(),
        holder=house.account_holder if house.iban else "",
        iban=show_iban(house.iban) if house.iban else "",
        bic=house.bic if house.iban else "",
        link=filled(house.pay_link, reference, amount, currency),
        code=_code(house, reference, amount, currency),
    )


def reference_of(job: Job) -> str:
    """The creditor reference (ISO 11649); the job's own where no bank could carry it."""
    try:
        return creditor_reference(job.ref)
    except BadReference:
        return refs.show(job.ref)


def filled(link: str, reference: str, amount: int, currency: str) -> str:
    """The payment link with `{reference}` and `{amount}` (in whole units, "97.00") put in; "" for one that is not https."""
    told = {"{reference}": reference, "{amount}": f"{money.to_decimal(amount, currency):f}"}
    for place, value in told.items():
        link = link.replace(place, quote(value, safe=""))
    return link if is_safe(link) else ""


def is_safe(link: str) -> bool:
    """Whether it is an https address with a host and nothing that hides where it leads (a user name before the host)."""
    try:
        parts = urlsplit(link)
    except ValueError:
        return False
    return parts.scheme == "https" and bool(parts.hostname) and "@" not in parts.netloc


def _code(house: Workshop, reference: str, amount: int, currency: str) -> str:
    """Euro accounts only. Where no code can be made (an account that needs a BIC, say) the plain text stands alone."""
    if currency != EURO or not (house.iban and house.account_holder):
        return ""
    try:
        return epc_payload(house.account_holder, house.iban, amount, reference, house.bic)
    except ValueError:
        return ""
