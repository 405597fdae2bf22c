"""Tax of one category against published invoices: OpenPEPPOL/peppol-bis-invoice-3 and ConnectingEurope/eInvoicing-EN16931.

Only invoices with one category and one rate can be checked here; several rates are not offered yet.
"""

import pytest

from jobs.quoting import total
from jobs.words import TaxMode


@pytest.mark.parametrize(
    ("prices", "rate_bp", "tax", "gross"),
    [
        # Peppol rules/examples/base-example.xml: 7 x 400, -3 x 500, charge 25, at 25 %
        ([280000, -150000, 2500], 2500, 33125, 165625),
        # EN 16931 ubl-tc434-example9.xml: 3 x 49 at 21 %
        ([4900] * 3, 2100, 3087, 17787),
        # EN 16931 BIS3_Invoice_positive.XML: a tie, 156435.885, goes up
        ([62574354], 2500, 15643589, 78217943),
        # EN 16931 ubl-tc434-example8.xml: tax per line would come to 190.88; on the sum it is 190.87
        ([90891], 2100, 19087, 109978),
    ],
)
def test_tax_added_to_the_sum_is_the_published_tax(
    prices: list[int], rate_bp: int, tax: int, gross: int
) -> None:
    found = total(prices, TaxMode.ADDED, rate_bp)
    assert (found.tax, found.gross) == (tax, gross)


def test_tax_is_rounded_half_up_once_on_the_sum_as_br_co_17_says() -> None:
    assert total([5, 5, 5], TaxMode.ADDED, 1000).tax == 2  # 1.5 units, not three times 0.5 rounded up
