"""What a mail server's refusal means: whether to try again, and how soon.

RFC 5321 section 4.2.1: 4yz is temporary, 5yz permanent. RFC 3463 adds a second code that says more: x.7.z is policy (a limit, as a
rule), x.3.2 "not accepting messages now", x.4.5 congestion. The words are what common servers say; from memory, no source.
"""

import re

from notifications.channels.base import Trouble, Undelivered

SLOW_DOWN_CODES = re.compile(r"\b4\.(?:7\.\d+|3\.2|4\.5)\b")
SLOW_DOWN_WORDS = re.compile(r"too many|too fast|too much|rate.?limit|throttl|slow down|limit exceeded", re.I)
# A server that does not know us yet lets the first try of each letter wait. It is about that letter, not about our speed.
GREYLISTED = re.compile(r"gr[ea]y.?list", re.I)
ASKED_WAIT = re.compile(r"\b(\d{1,4}) ?(s|sec|second|m|min|minute)s?\b", re.I)


def refusal(code: int, said: str, *, about_the_letter: bool = True) -> Undelivered:
    """The error for a reply that is no yes. A refusal that is not about the letter (the log-in, the sender) is never permanent."""
    kind = _kind(code, said, about_the_letter)
    wait = asked_wait(said) if kind == Trouble.THROTTLED else None
    return Undelivered(f"{code} {said}", kind, wait=wait, way_is_shut=not about_the_letter)


def _kind(code: int, said: str, about_the_letter: bool) -> Trouble:
    if about_the_letter and 500 <= code < 600:
        return Trouble.PERMANENT
    return Trouble.THROTTLED if asks_to_slow_down(code, said) else Trouble.TEMPORARY


def asks_to_slow_down(code: int, said: str) -> bool:
    """421 ends the dialogue whatever it is about (RFC 5321 section 3.8): the server has enough for now."""
    if not 400 <= code < 500 or GREYLISTED.search(said):
        return False
    return code == 421 or bool(SLOW_DOWN_CODES.search(said) or SLOW_DOWN_WORDS.search(said))


def asked_wait(said: str) -> float | None:
    """Seconds, where the reply names a time ("try again in 5 minutes")."""
    found = ASKED_WAIT.search(said)
    if found is None:
        return None
    return float(found[1]) * (60 if found[2].lower().startswith("m") else 1)
