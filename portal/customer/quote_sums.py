"""What an answer to a quote comes to, as templates/parts/reckoning.html takes it: figures, one scale, and sentences that say the same."""

from collections.abc import Collection
from dataclasses import dataclass, field
from typing import Any

from django.utils.translation import gettext as _

from jobs import money
from jobs.adding_up import Item, Reckoned, Sheet
from jobs.evidence import reckon_answer
from jobs.models import Quote
from jobs.quoting import Tax, Total
from jobs.revising_words import rate_words
from jobs.trying import Spread
from jobs.words import TaxCategory, TaxMode
from portal.customer.quote_tries import ENOUGH_SEEN
from portal.drawing.scale import Scale
from portal.drawing.scale import money as money_scale

NEARLY_ALL, HARDLY_ANY = 0.95, 0.05


@dataclass(frozen=True)
class Reckoning:
    """`rows` and `tax_rows` are (words, minor units) and add up to the highest where nothing is still open, else to what is certain.

    Where it `is_open`: lowest, expected (where something is tried) and highest, and the ceiling if one is set. `least` is what is needed,
    `most` everything. `problems`: why it cannot be agreed so.
    """

    rows: list[tuple[str, int]]
    tax_rows: list[tuple[str, int]]
    total: Total
    lowest: int
    highest: int
    expected: int | None = None
    ceiling: int | None = None
    least: int = 0
    most: int = 0
    scale: Scale | None = None
    tax_words: str = ""
    tax_added: bool = False
    says: list[str] = field(default_factory=list)
    problems: list[str] = field(default_factory=list)

    @property
    def is_open(self) -> bool:
        return self.lowest < self.highest


def read(
    quote: Quote,
    sheet: Sheet,
    yes: Collection[int],
    *,
    sums: Reckoned | None = None,
    ceiling: int | None = None,
    choosing: bool = True,
    problems: Collection[str] = (),
) -> Reckoning:
    """The sum of an answer, by the same function as the evidence. `choosing`: drawn between what is needed and everything."""
    sums = sums or reckon_answer(quote, sheet, yes)
    chosen = [sheet.by_id[pk] for pk in yes if pk in sheet.by_id]
    told: dict[str, Any] = {"least": sums.lowest, "most": sums.highest}
    if sums.lowest < sums.highest:
        told |= _open(quote, sums, ceiling, chosen)
    elif choosing:
        told |= _between(quote, sheet, sums)
    return Reckoning(
        rows=_rows(sums),
        tax_rows=_tax_rows(quote, sums.total),
        total=sums.total,
        lowest=sums.lowest,
        highest=sums.highest,
        ceiling=ceiling,
        tax_words=_tax_words(quote),
        tax_added=quote.tax_mode == TaxMode.ADDED and bool(quote.tax_rate_bp or sums.total.tax),
        problems=list(problems),
        **told,
    )


def _rows(sums: Reckoned) -> list[tuple[str, int]]:
    credit = [(_("Examination, taken off again"), -sums.credit)] if sums.credit else []
    return [*sums.rows, *credit]


def _open(quote: Quote, sums: Reckoned, ceiling: int | None, chosen: Collection[Item]) -> dict[str, Any]:
    tried = [item for item in chosen if item.turns]
    expected = sums.expected if tried else None
    middle = sums.highest if expected is None else expected
    drawn = money_scale(max(0, sums.lowest), max(0, sums.highest), _show(quote), middle, ceiling)
    return {
        "expected": expected,
        "scale": drawn,
        "says": [*_says(quote, sums, ceiling, expected), *_cares(chosen, tried)],
    }


def _cares(chosen: Collection[Item], tried: Collection[Item]) -> list[str]:
    """What an average and a chance rest on, so that neither says more than is known. Nothing where nothing is tried."""
    if not tried:
        return []
    said = []
    if any(item.up_to for item in chosen):
        said.append(_("“Up to” prices are counted in full here."))
    if any(sum(turn.seen for turn in item.turns) < ENOUGH_SEEN for item in tried):
        said.append(_("How often each way comes is our estimate; we have not yet counted enough of them."))
    return said


def _says(quote: Quote, sums: Reckoned, ceiling: int | None, expected: int | None) -> list[str]:
    show = _show(quote)
    if expected is not None:
        said = [
            _("If a hundred cameras like yours came, they would cost %(sum)s each on average.")
            % {"sum": show(expected)}
        ]
    else:
        said = [
            _("It comes to %(lowest)s at the least and %(highest)s at the most, by what the work takes.")
            % {"lowest": show(sums.lowest), "highest": show(sums.highest)}
        ]
    if ceiling is not None and ceiling >= sums.lowest:
        said.append(chance_words(sums.spread, ceiling))
    return said


def chance_words(spread: Spread, ceiling: int) -> str:
    """How often it stays under a ceiling, with as much care as the counts deserve. "Up to" prices count in full."""
    share = spread.chance_within(ceiling)
    if ceiling >= spread.highest:
        return _("Nothing that you agree to here can take it past your ceiling.")
    if not spread.parts:  # only "up to" prices are open, and what the work takes is nobody's chance to tell
        return _("If what the work takes would go past your ceiling, we stop and ask.")
    if share >= NEARLY_ALL:
        return _("Nearly all of them stay under your ceiling. Otherwise we stop and ask.")
    if share <= HARDLY_ANY:
        return _("Hardly any of them stay under your ceiling. Then we stop and ask.")
    tenths = min(9, max(1, spread.tenths_within(ceiling)))
    return _("About %(n)s in 10 stay under your ceiling. Otherwise we stop and ask.") % {"n": tenths}


def _between(quote: Quote, sheet: Sheet, sums: Reckoned) -> dict[str, Any]:
    """Nothing is open: where this answer stands between what is needed and everything."""
    least = reckon_answer(quote, sheet, sheet.needed).lowest
    most = reckon_answer(quote, sheet, sheet.everything).highest
    if least >= most:
        return {"least": least, "most": most}
    drawn = money_scale(
        max(0, min(least, sums.total.gross)), max(most, sums.total.gross), _show(quote), sums.total.gross
    )
    return {"least": least, "most": most, "scale": drawn}


def _show(quote: Quote) -> Any:
    return lambda minor: money.show(minor, quote.currency)


# --- tax in words -----------------------------------------------------------------------------------------------------


def _charges(quote: Quote) -> bool:
    return quote.tax_mode != TaxMode.NONE and bool(quote.tax_rate_bp)


def _tax_words(quote: Quote) -> str:
    if not _charges(quote):
        return ""
    return f"{quote.tax_name} {rate_words(quote.tax_rate_bp)}"


def _tax_rows(quote: Quote, total: Total) -> list[tuple[str, int]]:
    """One for each rate that there is; without a rate there is nothing to say."""
    if quote.tax_mode == TaxMode.NONE:
        return []
    return [
        (f"{quote.tax_name} {rate_words(group.tax.rate_bp)}", group.due)
        for group in reversed(total.groups)
        if group.tax.rate_bp
    ]


def line_tax(quote: Quote, tax: Tax) -> str:
    """What differs from the usual rate on one line; "" where nothing does, or where no tax is charged."""
    if quote.tax_mode == TaxMode.NONE or tax == Tax(rate_bp=quote.tax_rate_bp):
        return ""
    if tax.category == TaxCategory.STANDARD and tax.rate_bp:
        return f"{quote.tax_name} {rate_words(tax.rate_bp)}"
    words = {
        TaxCategory.EXEMPT: _("Exempt from %(tax)s"),
        TaxCategory.OUTSIDE: _("Outside the scope of %(tax)s"),
    }
    return words.get(TaxCategory(tax.category), _("No %(tax)s on this")) % {"tax": quote.tax_name}
