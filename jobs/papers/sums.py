"""What a quote comes to, in words: the rows under the lines, and the scale from the lowest to the ceiling. Whole numbers only."""

from decimal import Decimal
from typing import Any

from django.utils.formats import number_format
from django.utils.translation import gettext as _

from jobs.papers.words import Told, sum_of
from jobs.words import TaxCategory, TaxMode

PER_MILLE = 1000
MOST_TICKS = 10


def rows(told: Told) -> list[dict[str, Any]]:
    """What is added up, the sum last."""
    currency, total, tax = told["currency"], told.get("total") or {}, told.get("tax") or {}
    found = []
    if credit := told.get("credit") or 0:
        found.append(_row(_("Examination, taken off again"), -abs(credit), currency))
    if tax.get("mode") == TaxMode.ADDED and total.get("tax"):
        found.append(_row(_("Without tax"), total.get("net") or 0, currency))
        found += [
            _row(_named(tax, group, currency), group["due"], currency) for group in tax.get("groups") or []
        ]
    return [*found, _row(_("Together"), total.get("gross") or 0, currency, strong=True)]


def notes(told: Told) -> list[str]:
    """The sentences under the sum: tax that is in it, the ceiling, the chance, the deposit."""
    currency, total, tax = told["currency"], told.get("total") or {}, told.get("tax") or {}
    found = []
    if tax.get("mode") == TaxMode.INCLUDED and total.get("tax"):
        found += [
            _("%(tax)s is %(sum)s; it is in the sum.")
            % {"tax": _named(tax, group, currency), "sum": sum_of(group["due"], currency)}
            for group in tax.get("groups") or []
        ]
    if any(line.get("up_to") and line.get("yes") is not False for line in told.get("lines") or []):
        found.append(_("“Up to” prices are counted in full."))
    if told.get("ceiling") is not None:
        ceiling = sum_of(told["ceiling"], currency)
        found.append(_("Before we pass the ceiling of %(sum)s, we stop and ask.") % {"sum": ceiling})
        if chance := told.get("chance"):
            found.append(_("The chance that it stays within the ceiling: %(chance)s.") % {"chance": chance})
    if deposit := told.get("deposit") or 0:
        found.append(_("To be paid before the work begins: %(sum)s.") % {"sum": sum_of(deposit, currency)})
    return found


def scale(told: Told) -> dict[str, Any] | None:
    """Figures with their marks, and places on the rail in per mille. None where there is no spread to draw."""
    low, mid, high, stop = (told.get(name) for name in ("lowest", "expected", "highest", "ceiling"))
    if low is None or mid is None or high is None or (low == high and stop is None):
        return None
    currency = told["currency"]
    first, step, count = _axis(min(low, mid), max(high, mid, stop or 0))
    last = first + step * count

    def place(minor: int) -> int:
        return (minor - first) * PER_MILLE // (last - first)

    figures = [("reach", _("lowest"), low), ("index", _("expected"), mid), ("reach", _("highest"), high)]
    if stop is not None:
        figures.append(("stop", _("ceiling"), stop))
    return {
        "figures": [
            {"mark": mark, "what": what, "amount": sum_of(minor, currency)} for mark, what, minor in figures
        ],
        "lowest": place(low),
        "expected": place(mid),
        "highest": place(high),
        "ceiling": None if stop is None else place(stop),
        "ticks": [place(first + step * n) for n in range(count + 1)],
        "from": sum_of(first, currency),
        "to": sum_of(last, currency),
    }


def _axis(least: int, most: int) -> tuple[int, int, int]:
    """Where the axis begins, its step, and how many steps: round amounts around `least` and `most`."""
    step = 1
    while (most - least) // step >= MOST_TICKS - 2:
        step *= 2 if str(step)[0] in "15" else 1
        if str(step)[0] == "2" and (most - least) // step >= MOST_TICKS - 2:
            step = step // 2 * 5
    first = (least - 1) // step * step
    return first, step, -((first - most - 1) // step)


def _row(what: str, minor: int, currency: str, strong: bool = False) -> dict[str, Any]:
    return {"what": what, "amount": sum_of(minor, currency), "strong": strong}


def _named(tax: Told, group: Told, currency: str) -> str:
    """VAT 20 % on £152.50; VAT, zero rated, on £12."""
    name, rate = tax.get("name") or _("Tax"), Decimal(group.get("rate_bp") or 0) / 100
    category = group.get("category") or TaxCategory.STANDARD
    kind = f" {number_format(Decimal(f'{rate.normalize():f}'))} %"
    if category != TaxCategory.STANDARD:
        kind = f", {str(TaxCategory(category).label).lower()},"
    return _("%(tax)s on %(sum)s") % {"tax": name + kind, "sum": sum_of(group.get("net") or 0, currency)}
