"""Quote lines of the demo, priced in whole pounds."""

from jobs.actions.quote import LineDraft
from jobs.models import Finding


def needed(title: str, pounds: int, why: str, *findings: Finding, months: int = 12) -> LineDraft:
    return LineDraft("work", "needed", title, pounds * 100, why, months, findings)


def advised(title: str, pounds: int, why: str, *findings: Finding, months: int = 12) -> LineDraft:
    return LineDraft("work", "advised", title, pounds * 100, why, months, findings)


def optional(title: str, pounds: int, why: str, *findings: Finding, months: int = 12) -> LineDraft:
    return LineDraft("work", "optional", title, pounds * 100, why, months, findings)


def part(title: str, pounds: int, why: str, *findings: Finding) -> LineDraft:
    return LineDraft("part", "needed", title, pounds * 100, why, 12, findings)


def post_home() -> LineDraft:
    return LineDraft("carriage", "needed", "Insured post home", 1200, "", 0)
