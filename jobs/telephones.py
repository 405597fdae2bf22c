"""Telephone numbers as people type them, and as gateways of text messages need them (ITU-T E.164: "+441632960142")."""

import phonenumbers
from phonenumbers import NumberParseException, PhoneNumberFormat, PhoneNumberType

# Kinds of numbers that surely take no text message. Most are not told apart from mobile ones everywhere, and those may pass.
NO_TEXTS = {
    PhoneNumberType.FIXED_LINE,
    PhoneNumberType.TOLL_FREE,
    PhoneNumberType.PREMIUM_RATE,
    PhoneNumberType.SHARED_COST,
    PhoneNumberType.VOICEMAIL,
    PhoneNumberType.UAN,
}


class NoNumber(ValueError):
    """It cannot be a telephone number."""


class NoTexts(ValueError):
    """It is a number, but of a kind that takes no text messages."""


def for_texts(typed: str, country: str = "") -> str:
    """E.164 of a number that may take text messages. Raises NoNumber, NoTexts.

    `country` (ISO 3166-1) is where a number without + and country code is dialled. Whether a number is *possible* is asked, not whether
    it is known to be given out: the tables of numbers are always a little behind the networks.
    """
    try:
        number = phonenumbers.parse(typed, country or None)
    except NumberParseException as wrong:
        raise NoNumber(typed) from wrong
    if number.extension or not phonenumbers.is_possible_number(number):
        raise NoNumber(typed)
    if phonenumbers.number_type(number) in NO_TEXTS:
        raise NoTexts(typed)
    return phonenumbers.format_number(number, PhoneNumberFormat.E164)


def country_of(number: str) -> str:
    """ISO 3166-1 code of the country of an E.164 number; "" where it has none of its own, or is none."""
    try:
        parsed = phonenumbers.parse(number)
    except NumberParseException:
        return ""
    known = phonenumbers.region_code_for_number(parsed)
    return known or _first_of(parsed.country_code or 0)


def shown(number: str) -> str:
    """An E.164 number with spaces, as its country writes it for callers from abroad. What is no number comes back as it was."""
    try:
        parsed = phonenumbers.parse(number)
    except NumberParseException:
        return number
    return phonenumbers.format_number(parsed, PhoneNumberFormat.INTERNATIONAL)


def _first_of(code: int) -> str:
    """The main country of a country code: a number that is not known to be given out still dials into it."""
    found = phonenumbers.region_code_for_country_code(code)
    return found if found.isalpha() and found != "ZZ" else ""
