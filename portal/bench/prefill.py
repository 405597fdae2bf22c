"""A line begun from a finding: its title, the finding, the usual time, and how a try turns out, from the library's entry."""

from typing import Any

from jobs import collection
from jobs.library import Explanation
from jobs.models import Finding, Workshop
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
        told["minutes"] = entry.minutes.likely
    if with_try:
        told |= tries_of([finding])
    return told


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
