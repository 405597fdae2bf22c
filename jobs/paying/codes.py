"""The code that a bank's app reads: EPC069-12 of the European Payments Council, version 3.1 of 19 March 2024.

Error correction M, at most version 13 of the symbol (331 bytes), payload of version 002 in UTF-8. Euro only: whoever asks for a code
sees to the currency. What the code says has to stand beside it in plain text as well (its section 1).
"""

import io
from collections.abc import Iterable
from decimal import Decimal

import segno
from django.utils.html import format_html
from django.utils.safestring import SafeString

from jobs.paying.accounts import tidy_bic, tidy_iban
from jobs.paying.references import sound

LONGEST_NAME = 70  # these five: sections 2.1 and 2.2
LONGEST_TEXT = 140
MOST_CENTS = 99_999_999_999
MOST_BYTES = 331
LARGEST_SYMBOL = 13
QUIET_ZONE = 4  # modules of light around a code: ISO/IEC 18004
PIXELS = 8  # of a module in a PNG: sharp in a letter, and printed
# The European Economic Area, by ISO 3166-1: the Union's twenty-seven and IS, LI, NO. Elsewhere a code needs the bank's BIC.
EEA = {
    "AT", "BE", "BG", "CY", "CZ", "DE", "DK", "EE", "ES", "FI", "FR", "GR", "HR", "HU", "IE",
    "IS", "IT", "LI", "LT", "LU", "LV", "MT", "NL", "NO", "PL", "PT", "RO", "SE", "SI", "SK",
}  # fmt: skip


class NoCode(ValueError):
    """No code can be made of this; the message says why."""


def epc_payload(
    name: str, iban: str, amount_minor: int, reference: str, bic: str = "", text: str = ""
) -> str:
    """What the code says: to whom, how many euro cents, and a creditor reference or a text, one of the two.

    Raises NoCode, BadIban, BadBic or BadReference, all of them ValueErrors, where it cannot be made. Lines are parted by line feeds
    and the last one that says something ends the payload (section 2.2).
    """
    account = tidy_iban(iban)
    bank = tidy_bic(bic) if bic else ""
    if not bank and account[:2] not in EEA:
        raise NoCode("An account outside the European Economic Area needs the bank's BIC.")
    if bool(reference) == bool(text.strip()):
        raise NoCode("A code carries either a reference or a text.")
    elements = [
        *("BCD", "002", "1", "SCT"),
        bank,
        _one_line(name, LONGEST_NAME, "name"),
        account,
        _euros(amount_minor),
        "",  # the purpose, a bank's code that nobody here needs
        sound(reference) if reference else "",
        _one_line(text, LONGEST_TEXT, "text") if text.strip() else "",
    ]
    payload = "\n".join(elements).rstrip("\n")
    if len(payload.encode()) > MOST_BYTES:
        raise NoCode(f"More than {MOST_BYTES} bytes do not go into a code.")
    return payload


def epc_svg(payload: str, label: str) -> SafeString:
    """The code as an SVG for a page: dark on light whatever the page's colours are, one unit a module, no styles in it.

    `label` is what a screen reader says instead. The class `paycode` is for its size.
    """
    rows = [bytes(row) for row in _symbol(payload).matrix]
    side = len(rows) + 2 * QUIET_ZONE
    drawn = "".join(
        f"M{start + QUIET_ZONE} {y + QUIET_ZONE}h{length}v1h-{length}z"
        for y, row in enumerate(rows)
        for start, length in _runs(row)
    )
    return format_html(
        '<svg class="paycode" viewBox="0 0 {0} {0}" role="img" aria-label="{1}" shape-rendering="crispEdges">'
        '<rect width="{0}" height="{0}" fill="#fff"/><path fill="#000" d="{2}"/></svg>',
        side,
        label,
        drawn,
    )


def epc_png(payload: str) -> bytes:
    """The code as a PNG for a letter, black on white, with its quiet zone."""
    file = io.BytesIO()
    _symbol(payload).save(file, kind="png", scale=PIXELS, border=QUIET_ZONE, dark="#000", light="#fff")
    return file.getvalue()


def _symbol(payload: str) -> segno.QRCode:
    """Bytes, so that no other character set is chosen for us; level M and no better, as the guideline says."""
    symbol = segno.make_qr(payload.encode(), error="m", boost_error=False)
    if int(symbol.version) > LARGEST_SYMBOL:
        raise NoCode(f"More than {MOST_BYTES} bytes do not go into a code.")
    return symbol


def _runs(row: bytes) -> Iterable[tuple[int, int]]:
    """(0, 1, 1, 0, 1) -> (1, 2), (4, 1): where dark modules begin and how many there are."""
    start = 0
    for light in (*(i for i, dark in enumerate(row) if not dark), len(row)):
        if light > start:
            yield start, light - start
        start = light + 1


def _one_line(text: str, most: int, what: str) -> str:
    """Spaces run together; whatever else has no width would break the payload's lines or hide in them."""
    line = " ".join(text.split())
    if not line:
        raise NoCode(f"The {what} is missing.")
    if len(line) > most:
        raise NoCode(f"The {what} has more than {most} characters.")
    if not line.isprintable():
        raise NoCode(f"The {what} has characters in it that nobody sees.")
    return line


def _euros(cents: int) -> str:
    if not 1 <= cents <= MOST_CENTS:
        raise NoCode("A code is for 0.01 to 999999999.99 euros.")
    return f"EUR{Decimal(cents).scaleb(-2):.2f}"
