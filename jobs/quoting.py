"""The sums of a quote, with numbers alone: what amounts come to under the workshop's tax rule, per category and rate.

Tax is worked out once for each (category, rate) on the sum of its amounts, never amount by amount, and rounded half up: EN 16931,
BG-23 and BR-CO-17 (category tax amount = taxable amount x rate / 100, rounded to two decimals; here to the minor unit). Sums of
rounded amounts are not rounded again.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from jobs.words import TaxCategory, TaxMode

BASIS_POINTS = Decimal(10_000)
AN_HOUR = 60


@dataclass(frozen=True, order=True)
class Tax:
    """A category of UNTDID 5305 (`TaxCategory`) and its rate in basis points: 2000 is 20 %.

    Raises ValueError for a rate below 0, and for any rate in a category that has none (EN 16931, BR-Z-05, BR-E-05, BR-O-05).
    """

    category: str = TaxCategory.STANDARD.value
    rate_bp: int = 0

    def __post_init__(self) -> None:
        if self.rate_bp < 0 or (self.rate_bp and self.category != TaxCategory.STANDARD):
            raise ValueError((self.category, self.rate_bp))


@dataclass(frozen=True)
class Amount:
    """Minor units, with or without tax as the mode says; may be negative (a credit)."""

    minor: int
    tax: Tax = Tax()


@dataclass(frozen=True)
class Group:
    """What one category and rate comes to, in minor units. `net + due == gross`."""

    tax: Tax
    net: int
    due: int
    gross: int


@dataclass(frozen=True)
class Total:
    """Minor units. `net + tax == gross` always, and each is the sum over `groups`."""

    net: int
    tax: int
    gross: int
    groups: tuple[Group, ...] = ()


def total(amounts: Iterable[Amount], mode: TaxMode) -> Total:
    """Add up `amounts` under `mode`, in any order: the same set gives the same total."""
    sums: dict[Tax, int] = {}
    for each in amounts:
        sums[each.tax] = sums.get(each.tax, 0) + each.minor
    groups = tuple(_group(tax, sums[tax], mode) for tax in sorted(sums))
    net, due = sum(group.net for group in groups), sum(group.due for group in groups)
    return Total(net=net, tax=due, gross=net + due, groups=groups)


def gross_of(minor: int, tax: Tax, mode: TaxMode) -> int:
    """What one group's sum comes to with its tax, in minor units."""
    return _group(tax, minor, mode).gross


def for_time(minutes: int, per_hour: int) -> int:
    """Price of `minutes` at `per_hour` (minor units an hour), rounded half up to the minor unit. Raises ValueError below nothing."""
    if minutes < 0 or per_hour < 0:
        raise ValueError((minutes, per_hour))
    return _round(Decimal(minutes) * per_hour / AN_HOUR)


def _group(tax: Tax, minor: int, mode: TaxMode) -> Group:
    if mode == TaxMode.NONE or tax.rate_bp == 0:
        return Group(tax, minor, 0, minor)
    rate = Decimal(tax.rate_bp) / BASIS_POINTS
    if mode == TaxMode.ADDED:
        due = _round(minor * rate)
        return Group(tax, minor, due, minor + due)
    net = _round(minor / (1 + rate))
    return Group(tax, net, minor - net, minor)


def _round(amount: Decimal) -> int:
    """Half up, away from nothing: a credit note is the negative of its invoice to the last unit."""
    return int(amount.quantize(Decimal(1), rounding=ROUND_HALF_UP))
