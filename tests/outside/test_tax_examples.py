"""Tax and totals against published invoices, each figure as its file has it, in minor units.

Sources, both public repositories: OpenPEPPOL/peppol-bis-invoice-3 (here "Peppol") and ConnectingEurope/eInvoicing-EN16931
(here "EN 16931"). A file's charges and allowances stand with its lines, an allowance as a negative amount. Where the lines of a
file do not multiply out in the file itself, only its sums for each rate are taken, and the row says so.
"""

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

import pytest

from jobs.accounts import Account, Entered
from jobs.quoting import Amount, Tax, total
from jobs.words import PaymentKind, TaxMode

S25, S21, S15, S6 = Tax("S", 2500), Tax("S", 2100), Tax("S", 1500), Tax("S", 600)
ZERO, EXEMPT, OUTSIDE = Tax("Z"), Tax("E"), Tax("O")


@dataclass(frozen=True)
class Published:
    """What a file says: amounts, tax for each category and rate, and the sums without and with tax."""

    source: str
    amounts: tuple[tuple[Tax, tuple[int, ...]], ...]
    due: dict[Tax, int]
    net: int
    tax: int
    gross: int

    def lines(self) -> list[Amount]:
        return [Amount(minor, tax) for tax, minors in self.amounts for minor in minors]


# 7 x 400, -3 x 500 and a charge of 25, all at 25 %
BASE = (280_000, -150_000, 2_500)
EXAMPLE_8 = (14_080, 1_616, 16_764, 8_874, 3_675, 5_650, 8_334, 19_031, 6_421, 6_446)

PUBLISHED = [
    Published(
        "Peppol, rules/examples/base-example.xml: a line below nothing, and a charge on the whole",
        ((S25, BASE),),
        {S25: 33_125},
        132_500,
        33_125,
        165_625,
    ),
    Published(
        "Peppol, rules/examples/sales-order-example.xml: the same figures",
        ((S25, BASE),),
        {S25: 33_125},
        132_500,
        33_125,
        165_625,
    ),
    Published(
        "Peppol, rules/examples/base-creditnote-correction.xml: a credit note, whose figures are those of what it corrects",
        ((S25, BASE),),
        {S25: 33_125},
        132_500,
        33_125,
        165_625,
    ),
    Published(
        "Peppol, rules/examples/base-negative-inv-correction.xml: the same correction as an invoice below nothing",
        ((S25, tuple(-minor for minor in BASE)),),
        {S25: -33_125},
        -132_500,
        -33_125,
        -165_625,
    ),
    Published(
        "Peppol, rules/examples/Allowance-example.xml: one rate and an exempt line, charge 200 and allowance 200 at 25 %",
        ((S25, (400_000, 90_000, 20_000, -20_000)), (EXEMPT, (100_000,))),
        {S25: 122_500, EXEMPT: 0},
        590_000,
        122_500,
        712_500,
    ),
    Published(
        "Peppol, rules/examples/Vat-category-S.xml: two rates, charge 200 and allowance 100 at 25 %",
        ((S25, (400_000, 90_000, 20_000, -10_000)), (S15, (200_000,))),
        {S25: 125_000, S15: 30_000},
        700_000,
        155_000,
        855_000,
    ),
    Published(
        "Peppol, rules/examples/vat-category-E.xml: 10 x 120, exempt",
        ((EXEMPT, (120_000,)),),
        {EXEMPT: 0},
        120_000,
        0,
        120_000,
    ),
    Published(
        "Peppol, rules/examples/vat-category-Z.xml: 10 x 120, zero rated",
        ((ZERO, (120_000,)),),
        {ZERO: 0},
        120_000,
        0,
        120_000,
    ),
    Published(
        "Peppol, rules/examples/vat-category-O.xml: 3200 outside the scope of tax, no rate anywhere in the file",
        ((OUTSIDE, (320_000,)),),
        {OUTSIDE: 0},
        320_000,
        0,
        320_000,
    ),
    Published(
        "EN 16931, ubl/examples/BIS3_Invoice_positive.XML: a tie, 156435.885, goes up",
        ((S25, (62_574_354,)),),
        {S25: 15_643_589},
        62_574_354,
        15_643_589,
        78_217_943,
    ),
    Published(
        "EN 16931, ubl/examples/ubl-tc434-example1.xml: two rates; sums of the file, its line 20 has a slip in its sign",
        ((S6, (18_323,)), (S21, (4_637,))),
        {S6: 1_099, S21: 974},
        22_960,
        2_073,
        25_033,
    ),
    Published(
        "EN 16931, ubl/examples/ubl-tc434-example8.xml: ten lines",
        ((S21, EXAMPLE_8),),
        {S21: 19_087},
        90_891,
        19_087,
        109_978,
    ),
    Published(
        "EN 16931, ubl/examples/ubl-tc434-example9.xml: 3 x 49",
        ((S21, (4_900, 4_900, 4_900)),),
        {S21: 3_087},
        14_700,
        3_087,
        17_787,
    ),
]


@pytest.mark.parametrize("published", PUBLISHED, ids=lambda published: published.source.split(":")[0])
def test_sums_and_tax_are_the_published_ones(published: Published) -> None:
    found = total(published.lines(), TaxMode.ADDED)
    assert {group.tax: group.due for group in found.groups} == published.due
    assert (found.net, found.tax, found.gross) == (published.net, published.tax, published.gross)


@pytest.mark.parametrize("published", PUBLISHED, ids=lambda published: published.source.split(":")[0])
def test_the_published_gross_of_each_rate_holds_the_published_tax(published: Published) -> None:
    """The way back: somebody who writes prices with tax in them finds the tax of these files again."""
    forward = total(published.lines(), TaxMode.ADDED)
    back = total([Amount(group.gross, group.tax) for group in forward.groups], TaxMode.INCLUDED)
    assert (back.net, back.tax, back.gross) == (published.net, published.tax, published.gross)


def test_tax_line_by_line_would_come_to_another_sum_than_the_published_one() -> None:
    """ubl-tc434-example8.xml tells the two ways apart: 190.88 by lines, 190.87 on the sum, which is what it says."""
    by_line = sum(
        int((Decimal(minor) * 21 / 100).quantize(Decimal(1), rounding=ROUND_HALF_UP)) for minor in EXAMPLE_8
    )
    assert by_line == 19_088
    assert total([Amount(minor, S21) for minor in EXAMPLE_8], TaxMode.ADDED).tax == 19_087


def test_what_is_left_to_pay_is_the_published_sum_less_what_was_paid_before() -> None:
    """Peppol, rules/examples/Allowance-example.xml: 7125 with tax, 1000 paid before, 6125 left to pay."""
    published = next(each for each in PUBLISHED if "Allowance-example" in each.source)
    gross = total(published.lines(), TaxMode.ADDED).gross
    paid = Entered(1, PaymentKind.DEPOSIT.value, "transfer", 100_000, "2026-11-02")
    assert Account("EUR", gross, payments=[paid]).due == 612_500


def test_tax_is_rounded_half_up_once_on_the_sum_as_br_co_17_says() -> None:
    """EN 16931, BR-CO-17; the figures are our own: 1.5 units, not three times 0.5 rounded up."""
    assert total([Amount(5, Tax("S", 1000))] * 3, TaxMode.ADDED).tax == 2
