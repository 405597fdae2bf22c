"""The card of a warranty, in words and in places on an axis of months."""

from collections.abc import Iterable
from datetime import date, timedelta
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs.papers.words import Told, day, foot, letterhead, shared

PER_MILLE = 1000
FEW_MONTHS = 6
AT_LEAST = timedelta(days=28)


def content(told: Told) -> dict[str, Any]:
    """What templates/documents/warranty.typ sets, from plain values; dates in ISO 8601. Optional parts may be missing.

    Needed: "made_at", "starts_on". Otherwise "house", "customer", "ref", "item" as for an answer, "covers" [{what, until (the last day,
    or None where it is not covered), months, why_not}], "aftercare" and "terms", lists of texts.
    """
    starts = date.fromisoformat(told["starts_on"])
    covers = list(told.get("covers") or [])
    in_force = [each for each in covers if each.get("until")]
    last = max([date.fromisoformat(each["until"]) for each in in_force] + [starts + AT_LEAST])
    headline = _("What is covered, and how long")
    return letterhead(told) | {
        "title": " · ".join(part for part in (told.get("ref") or "", headline) if part),
        "headline": headline,
        "lede": [_lede(told, in_force)],
        "words": shared() | _words(),
        "covers": [_cover(each, starts, last) for each in covers] if in_force else [],
        "axis": _axis(starts, last) if in_force else None,
        "not_covered": [
            {"what": f"{each['what'].rstrip('.')}.", "why": each.get("why_not") or _("It is not covered.")}
            for each in covers
            if not each.get("until")
        ],
        "call": _call(told),
        "rights": _("Your rights by law are yours besides; this card takes nothing away from them."),
        "aftercare": list(told.get("aftercare") or []),
        "terms": list(told.get("terms") or []),
        "foot": foot(told, _("warranty")),
    }


def _lede(told: Told, in_force: list[Told]) -> str:
    if not in_force:
        return _("Nothing of this work is under warranty; why, stands below.")
    return _("It counts from %(day)s. The last day named counts too.") % {"day": day(told["starts_on"])}


def _cover(cover: Told, starts: date, last: date) -> dict[str, Any]:
    until = cover.get("until")
    if not until:
        return {"what": cover["what"], "until": _("not covered"), "covered": False, "end": PER_MILLE}
    words = _("until %(day)s") % {"day": day(until)}
    if months := cover.get("months"):
        length = ngettext("%(n)s month", "%(n)s months", months) % {"n": months}
        words = _("%(length)s, until %(day)s") % {"length": length, "day": day(until)}
    end = _place(date.fromisoformat(until), starts, last)
    return {"what": cover["what"], "until": words, "covered": True, "end": end}


def _place(on: date, starts: date, last: date) -> int:
    """Per mille along the axis."""
    return (on - starts).days * PER_MILLE // (last - starts).days


def _axis(starts: date, last: date) -> dict[str, Any]:
    """A tick at the first of each month; the long ones begin a quarter where there are many."""
    months = list(_firsts(starts, last))
    many = len(months) > FEW_MONTHS
    return {
        "ticks": [
            {"at": _place(first, starts, last), "long": not many or first.month % 3 == 1} for first in months
        ],
        "from": day(starts.isoformat()),
        "to": day(last.isoformat()),
    }


def _firsts(starts: date, last: date) -> Iterable[date]:
    first = starts.replace(day=1)
    while first <= last:
        if first >= starts:
            yield first
        first = (first + timedelta(days=32)).replace(day=1)


def _call(told: Told) -> list[str]:
    house = told.get("house") or {}
    reached = [part for part in (house.get("telephone"), house.get("email")) if part]
    found = [
        _("If one of these comes back, stop there, leave the film where it is, and tell us."),
        _("We look first, and tell you what we find before anything costs money."),
    ]
    if reached:
        found.insert(
            1,
            _("Reach us at %(reached)s, and give the reference %(ref)s.")
            % {"reached": _(" or ").join(reached), "ref": told.get("ref") or ""},
        )
    return found


def _words() -> dict[str, str]:
    return {
        "covers": _("What is covered"),
        "not_covered": _("What is not covered, and why"),
        "call": _("How to call on it"),
        "aftercare": _("So that it lasts"),
        "terms": _("The terms"),
        "rights": _("Your rights"),
    }
