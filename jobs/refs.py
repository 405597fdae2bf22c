"""Job references: short, speakable, typo-proof.

Seven symbols of Crockford base 32 (no I, L, O, U) of which the last is the check symbol, written `4TM7-QKR`.
Six data symbols are 30 bits: 1,073,741,824 references. The check symbol is the number modulo 37, and may be
one of the five extra symbols `* ~ $ = U`; references whose check symbol is one of those are not issued, so that a
reference can be typed on any keyboard and stand in an address.
Source: Douglas Crockford, "Base 32", crockford.com/base32.html.
"""

import secrets

DIGITS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
CHECKS = DIGITS + "*~$=U"
DATA_SYMBOLS = 6
_READ = {**{symbol: value for value, symbol in enumerate(DIGITS)}, "O": 0, "I": 1, "L": 1}


class BadRef(ValueError):
    """The text is not a reference, or one of its symbols is wrong."""


def encode(number: int) -> str:
    """Return seven symbols, check symbol last, without a hyphen. Raises ValueError outside 0 .. 32**6 - 1."""
    if not 0 <= number < 32**DATA_SYMBOLS:
        raise ValueError(number)
    symbols = ""
    rest = number
    for _ in range(DATA_SYMBOLS):
        rest, value = divmod(rest, 32)
        symbols = DIGITS[value] + symbols
    return symbols + CHECKS[number % 37]


def decode(text: str) -> int:
    """Read a reference as people write it: any case, hyphens and spaces anywhere, O for 0, I and L for 1."""
    symbols = text.upper().replace("-", "").replace(" ", "")
    if len(symbols) != DATA_SYMBOLS + 1 or any(symbol not in _READ for symbol in symbols[:-1]):
        raise BadRef(text)
    number = 0
    for symbol in symbols[:-1]:
        number = number * 32 + _READ[symbol]
    check = symbols[-1]
    # The check symbol's own U is a symbol, not a slip; O, I and L are read as the digits they look like.
    value = CHECKS.find(check) if check in CHECKS else _READ.get(check, -1)
    if value != number % 37:
        raise BadRef(text)
    return number


def tidy(text: str) -> str:
    """Return the reference in the form the database keeps, `4TM7QKR`. Raises BadRef."""
    return encode(decode(text))


def show(ref: str) -> str:
    """`4TM7QKR` -> `4TM7-QKR`."""
    return f"{ref[:4]}-{ref[4:]}"


def draw() -> str:
    """Draw a random reference whose check symbol is a plain letter or digit."""
    while True:
        ref = encode(secrets.randbelow(32**DATA_SYMBOLS))
        if ref[-1] in DIGITS:
            return ref
