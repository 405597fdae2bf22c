"""Where money is sent to: IBAN (ISO 13616) and BIC (ISO 9362), checked by python-stdnum against the data that it carries."""

from stdnum import bic as bics
from stdnum import iban as ibans
from stdnum.exceptions import ValidationError


class BadIban(ValueError):
    """The text is no IBAN: its country, its length or its check digits are wrong."""


class BadBic(ValueError):
    """The text is no BIC."""


def is_iban(text: str) -> bool:
    try:
        return bool(tidy_iban(text))
    except BadIban:
        return False


def tidy_iban(text: str) -> str:
    """`be49 9990 0000 0171` -> `BE49999000000171`: country, structure and check digits of the registry. Raises BadIban.

    What some countries check on top is left out: the two digits that every IBAN has find a slip of the finger.
    """
    try:
        iban = ibans.validate(text, check_country=False)
    except ValidationError as bad:
        raise BadIban(text) from bad
    if not iban.isascii():
        raise BadIban(text)
    return iban


def show_iban(iban: str) -> str:
    """In groups of four: `BE49 9990 0000 0171`."""
    return ibans.format(iban)


def tidy_bic(text: str) -> str:
    """`sltmbebbxxx` -> `SLTMBEBBXXX`; eight or eleven symbols with a country among them. Raises BadBic."""
    try:
        return bics.validate(text)
    except ValidationError as bad:
        raise BadBic(text) from bad
