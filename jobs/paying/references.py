"""Creditor references of ISO 11649: "RF", two check digits (ISO 7064, MOD 97-10) and a job's reference, so that a payment finds its job."""

from stdnum import iso11649
from stdnum.exceptions import ValidationError
from stdnum.iso7064 import mod_97_10

from jobs import refs

SYMBOLS = refs.DATA_SYMBOLS + 1  # of a job's reference


class BadReference(ValueError):
    """The text is no creditor reference, or none of a job."""


def creditor_reference(ref: str) -> str:
    """`4TM7QCV` -> `RF224TM7QCV`. Raises BadReference for what is no job's reference, or has a check symbol that no bank carries."""
    try:
        body = refs.tidy(ref)
    except refs.BadRef as bad:
        raise BadReference(ref) from bad
    if not body.isalnum():
        raise BadReference(ref)
    return sound(f"RF{mod_97_10.calc_check_digits(body + 'RF')}{body}")


def show_reference(reference: str) -> str:
    """In groups of four, as it is printed: `RF22 4TM7 QCV`."""
    return iso11649.format(reference)


def read_reference(text: str) -> str:
    """The job's reference in what a person or a bank wrote, `RF22 4TM7 QCV` or filled up with noughts. Raises BadReference."""
    body = sound(text)[4:].lstrip("0").rjust(SYMBOLS, "0")
    try:
        if refs.tidy(body) == body:
            return body
    except refs.BadRef as bad:
        raise BadReference(text) from bad
    raise BadReference(text)


def sound(text: str) -> str:
    """Any creditor reference without its spaces, and with check digits that are right. Raises BadReference."""
    try:
        reference = iso11649.validate(text)
    except ValidationError as bad:
        raise BadReference(text) from bad
    if not reference.isascii():  # digits of other scripts count as digits to a checksum, not to a bank
        raise BadReference(text)
    return reference
