"""An account as pages show it: `jobs.accounts.Account` in rows of words and minor units, for templates/parts/account.html."""

from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from django.utils.formats import date_format, number_format
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, pgettext_lazy

from jobs.accounts import Account, Entered
from jobs.words import PaymentKind, PaymentWay

WAYS: dict[str, Promise] = {
    PaymentWay.CASH: pgettext_lazy("paid", "in cash"),
    PaymentWay.CARD: pgettext_lazy("paid", "by card"),
    PaymentWay.TRANSFER: pgettext_lazy("paid", "by bank transfer"),
    PaymentWay.LINK: pgettext_lazy("paid", "by payment link"),
}
CAME: dict[str, Promise] = {
    PaymentKind.DEPOSIT: gettext_lazy("Deposit on %(day)s, %(way)s"),
    PaymentKind.PAYMENT: gettext_lazy("Paid on %(day)s, %(way)s"),
    PaymentKind.REFUND: gettext_lazy("Given back on %(day)s, %(way)s"),
}
BASIS = 100  # basis points in one per cent


@dataclass(frozen=True)
class Shown:
    """`rows` and `paid` are (words, minor units): what was paid stands below nothing, because it is taken off. `taxes` are rows of
    their own where prices are without tax (`tax_added`), and a note where they are with it.
    """

    account: Account
    rows: list[tuple[str, int]] = field(default_factory=list)
    taxes: list[tuple[str, int]] = field(default_factory=list)
    tax_added: bool = False
    paid: list[tuple[str, int]] = field(default_factory=list)


def shown(account: Account) -> Shown:
    rows = list(account.rows)
    if account.agreed and not rows:
        rows = [(_("It goes back as it is"), account.agreed)]
    if account.credit:
        rows.append((_("Examination, taken off again"), -account.credit))
    return Shown(
        account=account,
        rows=rows,
        taxes=_taxes(account),
        tax_added=account.tax_added,
        paid=[(_came(each), -each.amount) for each in account.payments],
    )


def _taxes(account: Account) -> list[tuple[str, int]]:
    """One row for each rate, over all quotes that were agreed."""
    sums: dict[int, int] = {}
    for group in account.groups:
        sums[group.tax.rate_bp] = sums.get(group.tax.rate_bp, 0) + group.due
    return [(tax_words(account.tax_name, rate), due) for rate, due in sorted(sums.items()) if due]


def tax_words(name: str, rate_bp: int) -> str:
    """ "VAT 20 %", "VAT 7.5 %"."""
    return _("%(name)s %(percent)s %%") % {"name": name, "percent": percent(rate_bp)}


def percent(rate_bp: int) -> str:
    """Basis points as per cent: "20", "7.5"."""
    return number_format(Decimal(rate_bp) / BASIS, 2).rstrip("0").rstrip(".,")


def _came(entered: Entered) -> str:
    day = date_format(date.fromisoformat(entered.on), _("j F"))
    return str(CAME[entered.kind]) % {"day": day, "way": WAYS[entered.way]}
