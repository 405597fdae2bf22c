"""The sums of a quote, with numbers alone: what the lines come to under the workshop's tax rule.

Tax is worked out once on the sum of the chosen lines, not line by line, and rounded half up: the rule of EN 16931 (BG-23,
BR-CO-17: category tax amount = taxable amount x rate / 100, rounded to two decimals) for a single tax category.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from jobs.words import TaxMode

BASIS_POINTS = Decimal(10_000)


@dataclass(frozen=True)
class Total:
    """Minor units. `net + tax == gross` always; without tax, `tax == 0`."""

    net: int
    tax: int
    gross: int


def _round(amount: Decimal) -> int:
    return int(amount.quantize(Decimal(1), rounding=ROUND_HALF_UP))


def total(prices: Iterable[int], mode: TaxMode, rate_bp: int) -> Total:
    """Sum `prices` (minor units) under `mode` at `rate_bp` (basis points: 2000 is 20 %). Raises ValueError for a negative rate."""
    if rate_bp < 0:
        raise ValueError(rate_bp)
    amount = sum(prices)
    if mode == TaxMode.NONE or rate_bp == 0:
        return Total(net=amount, tax=0, gross=amount)
    rate = Decimal(rate_bp) / BASIS_POINTS
    if mode == TaxMode.ADDED:
        tax = _round(amount * rate)
        return Total(net=amount, tax=tax, gross=amount + tax)
    net = _round(amount / (1 + rate))
    return Total(net=net, tax=amount - net, gross=amount)
