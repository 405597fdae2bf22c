"""Quote lines of the demo, priced in whole pounds."""

from dataclasses import replace

from jobs.actions.quote import LineDraft, OutcomeDraft
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


def seals(pounds: int, why: str) -> LineDraft:
    """New seals, for which the workshop stands by six months."""
    return replace(advised("Renew the light seals", pounds, why, months=6), mechanism="seals")


def examination() -> LineDraft:
    return LineDraft("assessment", "needed", "The examination", 2500, "", 0)


def by_time(line: LineDraft, minutes: int, pounds_an_hour: int = 60) -> LineDraft:
    """Priced by the hour instead."""
    return replace(line, minutes=minutes, per_hour=pounds_an_hour * 100)


def up_to(line: LineDraft, least: int) -> LineDraft:
    """Its price is the most that it may come to."""
    return replace(line, up_to=True, least=least * 100)


def one_of(group: int, *lines: LineDraft) -> list[LineDraft]:
    """Alternatives: one of them at most."""
    return [replace(line, either=group) for line in lines]


def try_first(line: LineDraft, *outcomes: OutcomeDraft) -> LineDraft:
    return replace(line, outcomes=outcomes)


def turns_out(key: str, title: str, weight: int, *follow_ons: LineDraft, stops: bool = False) -> OutcomeDraft:
    """One way a try may turn out: a key of the library, its weight there, and what could follow."""
    return OutcomeDraft(title, weight, key, stops=stops, follow_ons=follow_ons)
