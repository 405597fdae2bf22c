"""Paying, with numbers and texts alone: references that banks carry, accounts, and the code that a bank's app reads.

Amounts are integer minor units; nothing here knows of rows. All errors are ValueErrors.
"""

from jobs.paying.accounts import BadBic, BadIban, is_iban, show_iban, tidy_bic, tidy_iban
from jobs.paying.codes import NoCode, epc_payload, epc_png, epc_svg
from jobs.paying.references import BadReference, creditor_reference, read_reference, show_reference

__all__ = [
    "BadBic",
    "BadIban",
    "BadReference",
    "NoCode",
    "creditor_reference",
    "epc_payload",
    "epc_png",
    "epc_svg",
    "is_iban",
    "read_reference",
    "show_iban",
    "show_reference",
    "tidy_bic",
    "tidy_iban",
]
