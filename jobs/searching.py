"""Finding a job by what people type: one function writes what is searched, the same function reads what is asked.

SQLite folds the case of ASCII letters only, and PostgreSQL none with LIKE. So both sides are folded here, and a plain
LIKE is right on both.
"""

import unicodedata


def fold(text: str) -> str:
    """Case, accents and width taken away: "MÜLLER", "Müller" and "muller" are one; "Straße" is "strasse"."""
    apart = unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", text).casefold())
    return " ".join("".join(sign for sign in apart if not unicodedata.combining(sign)).split())


def search_text(ref: str, *parts: str) -> str:
    """What one job is found by: its reference with and without the hyphen, and the parts (item, customer, ...)."""
    return fold(" ".join([ref, f"{ref[:4]}-{ref[4:]}", *parts]))
