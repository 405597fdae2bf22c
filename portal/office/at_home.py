"""Cameras that stayed at home, because a look before posting settled it: how many, and by which explanation."""

from dataclasses import dataclass
from datetime import date

from django.db.models import Count, Q
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs import collection
from jobs.models import SettledAtHome
from portal.office.asks import Many
from portal.office.brief import in_words


@dataclass(frozen=True)
class By:
    """One explanation's share. `title` is its key where the library no longer has it."""

    title: str
    month: int
    ever: int


@dataclass(frozen=True)
class AtHome:
    words: str
    by: list[By]


def at_home(today: date) -> AtHome | None:
    """This month, counted from its first day, and in all; None while there is none. One query."""
    this_month = Count("pk", filter=Q(day__gte=today.replace(day=1)))
    rows = (
        SettledAtHome.objects.values("key")
        .annotate(month=this_month, ever=Count("pk"))
        .order_by("-ever", "key")
    )
    library = collection.entries()
    by = [
        By(library[row["key"]].title if row["key"] in library else row["key"], row["month"], row["ever"])
        for row in rows
    ]
    return AtHome(_words(sum(each.month for each in by), sum(each.ever for each in by)), by) if by else None


def _words(month: int, ever: int) -> str:
    if not month:
        return _("No camera was settled at home this month, %(ever)s in all.") % {
            "ever": in_words(Many(ever))
        }
    said = ngettext(
        "%(month)s camera was settled at home this month, %(ever)s in all.",
        "%(month)s cameras were settled at home this month, %(ever)s in all.",
        month,
    )
    return capfirst(said % {"month": in_words(Many(month)), "ever": in_words(Many(ever))})
