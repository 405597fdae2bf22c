"""Tables as files that people open in a spreadsheet program (CSV, RFC 4180), which takes some texts for formulas and runs them.

A text that begins with a sign that could start a formula gets a single quote before it (ASVS 5.0, 1.2.10; the list from memory, and with it
the full-width forms of the signs and what stands behind leading spaces). The file begins with a byte order mark: without one, common
spreadsheet programs read UTF-8 as the machine's old code page and spoil every accent (common practice; RFC 4180 says nothing of it).
"""

import csv
from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from io import StringIO

from django.http import HttpResponse

STARTS_A_FORMULA = tuple("=+-@\t\r\n＝＋－＠")
MARK = "\ufeff"

Cell = str | int | Decimal | date | None


def safe(cell: Cell) -> str:
    """A cell's text that no spreadsheet program takes for a formula. Numbers and days of ours stay as they are."""
    if not isinstance(cell, str):
        return "" if cell is None else str(cell)
    text = cell.replace("\0", "")
    begins = text.startswith(STARTS_A_FORMULA) or text.lstrip().startswith(STARTS_A_FORMULA)
    return f"'{text}" if begins else text


def attachment(name: str, head: Iterable[str], rows: Iterable[Iterable[Cell]]) -> HttpResponse:
    """The table as a file to take away; `name` is a plain file name of ours."""
    text = StringIO(newline="")
    lines = csv.writer(text)  # its usual dialect is RFC 4180: CRLF, quotes doubled
    lines.writerow(map(safe, head))
    lines.writerows(map(safe, row) for row in rows)
    response = HttpResponse(MARK + text.getvalue(), content_type="text/csv; charset=utf-8; header=present")
    response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return response
