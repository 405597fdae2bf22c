"""What the documents share in words: dates, money, the head and the foot of a page. Texts come back translated and ready to be set."""

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from jobs import money

Told = Mapping[str, Any]


def sum_of(minor: int, currency: str) -> str:
    """8500, "GBP" -> £85, as the reader's country writes it, with a true minus."""
    return money.show(minor, currency).replace("-", "\u2212")


def moment(iso: str) -> datetime:
    """In the workshop's time. Raises ValueError for a text that is no moment."""
    at = datetime.fromisoformat(iso)
    return timezone.localtime(at) if timezone.is_aware(at) else at


def day(iso: str) -> str:
    """ "2026-10-14" or "2026-10-14T15:20:00+00:00" -> 14 October 2026."""
    on: date = date.fromisoformat(iso) if len(iso) == len("2026-10-14") else moment(iso)
    return date_format(on, pgettext("date on a document", "j F Y"))


def day_and_time(iso: str) -> str:
    """14 October 2026, 16:20 BST."""
    return date_format(moment(iso), pgettext("moment on a document", "j F Y, H:i T")).strip()


def lines(text: str | None) -> list[str]:
    """The lines of an address that say something."""
    return [line.strip() for line in (text or "").splitlines() if line.strip()]


def letterhead(told: Told) -> dict[str, Any]:
    """House, customer, item, reference and date, for the head of the first page."""
    house, customer = told.get("house") or {}, told.get("customer") or {}
    item, ref = told.get("item") or "", told.get("ref") or ""
    reached = [*lines(house.get("address")), house.get("place"), house.get("telephone"), house.get("email")]
    return {
        "house": {"name": house.get("name") or "", "lines": _once(reached)},
        "customer": _once([customer.get("name"), *lines(customer.get("address"))]),
        "made_at": told["made_at"],
        "day": day(told["made_at"]),
        "over": _("Your %(item)s") % {"item": item} if item else "",
        "ref": ref,
    }


def foot(told: Told, about: str, fingerprint: str = "") -> dict[str, str]:
    """The words at the foot: what it is, which page of how many, and the beginning of a fingerprint."""
    ref = told.get("ref") or ""
    return {
        "ref": " · ".join(part for part in (ref, about) if part),
        "about": " · ".join(part for part in (told.get("item") or "", ref) if part),
        "page": _("page %(n)s of %(m)s") % {"n": "{n}", "m": "{m}"},
        "print": _("fingerprint %(begin)s…") % {"begin": grouped(fingerprint[:16])} if fingerprint else "",
    }


def grouped(fingerprint: str) -> str:
    """Hex in fours, to be compared by eye."""
    return " ".join(fingerprint[at : at + 4] for at in range(0, len(fingerprint), 4))


def shared() -> dict[str, str]:
    """Words that every document may need."""
    return {
        "attached": _("What was shown and answered, as canonical JSON"),
        "named": _(
            "Signs that this paper’s typeface does not have are written by their names, in [brackets]."
        ),
    }


def _once(texts: list[str | None]) -> list[str]:
    """Without the empty ones and those said before."""
    return list(dict.fromkeys(text for text in texts if text))
