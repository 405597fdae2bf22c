"""A line begun from a finding: its title, the usual time and how a try turns out, from the library; or from what may follow a try."""

from typing import Any

from django.db.models import Exists, OuterRef

from jobs import collection
from jobs.library import Explanation
from jobs.models import Finding, Job, Line, Quote, Tried, Workshop
from jobs.odds import odds
from jobs.words import Effect, Need
from portal.bench import ways

URGED: dict[str, Need] = {
    Effect.STOPS: Need.NEEDED,
    Effect.PICTURES: Need.NEEDED,
    Effect.WORSENS: Need.ADVISED,
    Effect.LOOKS: Need.OPTIONAL,
    Effect.KNOW: Need.OPTIONAL,
}


def entry_of(finding: Finding) -> Explanation | None:
    return collection.entries().get(finding.explanation) if finding.explanation else None


def from_finding(finding: Finding, house: Workshop, with_try: bool) -> dict[str, Any]:
    """First values of the line's form. Minutes only where the workshop has a price of an hour."""
    entry = entry_of(finding)
    told: dict[str, Any] = {
        "title": finding.title,
        "findings": [finding.pk],
        "need": URGED.get(finding.effect, Need.NEEDED),
    }
    if entry and house.hour_price:
        told["minutes"] = told["usual_minutes"] = entry.minutes.likely
    if with_try:
        told |= tries_of([finding])
    return told


def asked_about(job: Job) -> list[Line]:
    """What might follow tries that stopped to ask, and that no quote was sent about since. What costs nothing needs no quote."""
    sent_since = Quote.objects.filter(job=job, sent_at__gte=OuterRef("at"))
    stopped = Tried.objects.filter(~Exists(sent_since), line__quote__job=job, then=Tried.Then.ASKS)
    follow_ons = Line.objects.filter(outcome__in=stopped.values("outcome"), price__gt=0)
    return list(follow_ons.select_related("quote", "outcome__line").order_by("position", "pk"))


def from_follow_on(line: Line) -> dict[str, Any]:
    """First values from what might have followed a try: the same at the same price, for the findings of the try."""
    by_time = line.minutes is not None
    told: dict[str, Any] = {
        "title": line.title,
        "kind": line.kind,
        "need": Need.NEEDED,
        "price": None if by_time else line.price,
        "minutes": line.minutes,
        "months": line.months,
        "findings": [each.pk for each in line.outcome.line.findings.all()] if line.outcome else [],
    }
    return told | ({"per_hour": line.per_hour} if by_time else {})


def tries_of(findings: list[Finding]) -> dict[str, Any]:
    """Outcomes of the first finding whose explanation knows several; empty where none does."""
    for finding in findings:
        entry = entry_of(finding)
        found = odds(entry, finding.facts) if entry else []
        if found:
            return ways.from_library(found[: ways.MOST_OUTCOMES])
    return {}


def may_try(finding: Finding) -> bool:
    """Whether the library knows several ways for work on it to turn out."""
    entry = entry_of(finding)
    return entry is not None and len(entry.outcomes) > 1
