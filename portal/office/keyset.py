"""Pages by key instead of by number: the fiftieth page costs what the first costs, however many rows there are.

A cursor names the last row of the page before: the value it is sorted by, and its primary key, which settles ties.
"""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db.models import Q, QuerySet

ROWS = 50


@dataclass(frozen=True)
class Cursor:
    value: date | datetime | int
    pk: int

    def __str__(self) -> str:
        value = self.value if isinstance(self.value, int) else self.value.isoformat()
        return f"{value}~{self.pk}"


def read(text: str, kind: type[date] | type[datetime] | type[int]) -> Cursor | None:
    """A cursor out of an address; None where there is none, or where somebody made one up."""
    value, _, pk = text.rpartition("~")
    try:
        return Cursor(int(value) if kind is int else kind.fromisoformat(value), int(pk))
    except ValueError:
        return None


def after(
    queryset: "QuerySet[Any]", field: str, cursor: Cursor | None, falling: bool = False
) -> "QuerySet[Any]":
    """The rows that come after the cursor, sorted by `field` (`falling`: the largest first) and primary key.

    `field` leads an index together with the filter.
    """
    onward = "lt" if falling else "gt"
    if cursor:
        # The first condition says nothing new; it is what a database can look up in an index.
        further = Q(**{f"{field}__{onward}": cursor.value}) | Q(**{field: cursor.value, "pk__gt": cursor.pk})
        queryset = queryset.filter(**{f"{field}__{onward}e": cursor.value}).filter(further)
    return queryset.order_by(f"-{field}" if falling else field, "pk")


def cursor_of(row: Any, field: str) -> Cursor:
    return Cursor(getattr(row, field), row.pk)
