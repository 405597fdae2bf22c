"""What came back under warranty, by mechanism: counted in the database, so that many years of jobs cost two small queries."""

from dataclasses import dataclass, replace
from typing import Any

from django.db.models import Count, F, Q, QuerySet
from django.db.models.functions import TruncDate
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_safe

from jobs.comebacks import Tally, in_order, in_words, tally
from jobs.models import Cover, Job
from jobs.words import FailedAgain, Mechanism
from portal.access import for_owner
from portal.drawing import shares


@dataclass(frozen=True)
class Row:
    """One mechanism; `drawn` is left out where too few were mended to say more."""

    name: str
    tally: Tally
    drawn: shares.Drawn | None = None

    @property
    def share(self) -> str:
        return in_words(self.tally)

    @property
    def same(self) -> str:
        """How many of them had failed in the same way again; "" for none."""
        same = self.tally.same_again
        return ngettext("%(n)s the same again", "%(n)s the same again", same) % {"n": same} if same else ""


@require_safe
@for_owner
def office_comebacks(request: HttpRequest) -> HttpResponse:
    rows = comebacks()
    enough = [row for row in rows if not row.tally.is_few]
    drawing = shares.draw(
        (shares.Share(row.tally.share, row.tally.low, row.tally.high) for row in enough),
        _("%(n)s in a hundred"),
    )
    drawn = [replace(row, drawn=line) for row, line in zip(enough, drawing.rows, strict=True)]
    page = {
        "here": "office",
        "tab": "comebacks",
        "rows": drawn + [row for row in rows if row.tally.is_few],
        "drawing": drawing,
        "has_drawing": bool(drawn),
        "said": said(rows),
    }
    return render(request, "office/comebacks.html", page)


def comebacks() -> list[Row]:
    """What surely comes back most first. Two queries, however many jobs there are."""
    back = {row["mechanism"]: row for row in _came_back()}
    none = {"back": 0, "same": 0}
    found = [
        tally(
            row["mechanism"],
            row["mended"],
            *(back.get(row["mechanism"], none)[key] for key in ("back", "same")),
        )
        for row in _mended()
    ]
    return [Row(_name(each.mechanism), each) for each in in_order(found)]


def said(rows: list[Row]) -> str:
    """All of it in one sentence. One job may count for more than one mechanism, so that sums of jobs are not said."""
    mended, same = sum(row.tally.mended for row in rows), sum(row.tally.same_again for row in rows)
    if not mended:
        return _("No warranty has begun yet.")
    if not same:
        return _("Nothing that we mended has failed again under its warranty so far.")
    return ngettext(
        "Of %(mended)s things mended, %(same)s has failed again in the same way under its warranty.",
        "Of %(mended)s things mended, %(same)s have failed again in the same way under their warranty.",
        same,
    ) % {"mended": mended, "same": same}


def _own(prefix: str = "") -> Q:
    """Covers of what this very job mended: of a line of its own, or mended again under the first warranty. What only stood on is not."""
    return Q(**{f"{prefix}line__quote__job": F(f"{prefix}warranty__job")}) | Q(
        **{f"{prefix}goes_on_from__isnull": False}
    )


def _mended() -> QuerySet[Cover, dict[str, Any]]:
    """How many jobs mended each mechanism and gave warranty on it."""
    covered = Cover.objects.filter(_own(), until__isnull=False)
    return covered.values("mechanism").order_by().annotate(mended=Count("warranty", distinct=True))


def _came_back() -> QuerySet[Job, dict[str, Any]]:
    """How many of them came back to us while that cover ran, for whatever reason; and of these, where that mechanism had failed again.

    From the claims, which are few. One that was called off before anything was posted did not come back.
    """
    covers = "claim_on__warranty__covers"
    here = Job.objects.filter(
        _own(f"{covers}__"),
        claim_on__isnull=False,
        arrival__isnull=False,
        **{f"{covers}__until__gte": TruncDate("created_at")},
    )
    same = Q(judged__again=FailedAgain.SAME, judged__cover__mechanism=F(f"{covers}__mechanism"))
    return (
        here.values(mechanism=F(f"{covers}__mechanism"))
        .order_by()
        .annotate(
            back=Count("claim_on", distinct=True),
            same=Count("claim_on", distinct=True, filter=same),
        )
    )


def _name(mechanism: str) -> str:
    return str(Mechanism(mechanism).label) if mechanism else _("No mechanism named")
