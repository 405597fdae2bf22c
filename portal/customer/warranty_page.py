"""What the page of a warranty shows, gathered from rows."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.http import HttpRequest
from django.utils.translation import ngettext

from jobs.actions.reminding import A_MONTH
from jobs.covering import Promise
from jobs.models import Job, Warranty
from jobs.phrases import mid_sentence
from jobs.promises import promises_of
from jobs.warranty_terms import days_left
from jobs.words import Mechanism
from portal.access import live_link
from portal.drawing import cover


@dataclass(frozen=True)
class Claim:
    """A claim on this warranty. `opens`: this browser may open its page."""

    job: Job
    opens: bool


def shown(request: HttpRequest, warranty: Warranty, today: date) -> dict[str, Any]:
    promises = promises_of(warranty)
    running = [each for each in promises if _left(each, today)]
    last = max((each.until for each in running if each.until), default=None)
    claims = [
        Claim(claim, live_link(request, claim.ref) is not None)
        for claim in warranty.job.claims.order_by("pk")
    ]
    return {
        "promises": promises,
        "cover": cover.draw([_drawn(each, today) for each in promises], warranty.starts_on, today),
        "running": running,
        "last": last,
        "not_covered": [each for each in promises if each.until is None],
        "claims": claims,
        "open_claim": next((each for each in claims if not each.job.is_over), None),
        "may_ask_for_letter": bool(last and last - today > A_MONTH and not warranty.reminded_at),
    }


def _left(promise: Promise, today: date) -> int:
    return days_left(promise.until, today) if promise.until else 0


def _drawn(promise: Promise, today: date) -> cover.Promise:
    """Named by the mechanism where the line's own words do not say it."""
    mechanism = str(Mechanism(promise.mechanism).label) if promise.mechanism else ""
    left = _left(promise, today)
    note = ngettext("%(n)s day left", "%(n)s days left", left) % {"n": left} if left else ""
    what = f"{promise.what} ({mid_sentence(mechanism)})" if mechanism else promise.what
    return cover.Promise(what, promise.until, note)
