"""The lines of a quote in words, for a document: what each costs, why, what it hangs on, and what was answered."""

from collections.abc import Iterable
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs.papers.words import Told, sum_of
from jobs.words import FIXED_KINDS, Certainty, Need

FITS_ON_A_PAGE = 1500  # signs of text; a longer line may be torn over pages


def shown(lines: Iterable[Told], currency: str) -> list[dict[str, Any]]:
    """Each line as the template sets it."""
    lines = list(lines)
    return [_line(line, currency, lines) for line in lines]


def _line(line: Told, currency: str, all_lines: list[Told]) -> dict[str, Any]:
    fixed = line.get("kind") in FIXED_KINDS
    need = "" if fixed else line.get("need") or ""  # no urging stands beside what is not a choice
    made = {
        "need": need,
        "title": line.get("title") or "",
        "why": line.get("why") or "",
        "price": price(line, currency),
        "facts": facts(line, currency, all_lines, need, fixed),
        "findings": [_finding(each) for each in line.get("findings") or []],
        "outcomes": [_outcome(each, currency) for each in line.get("outcomes") or []],
        "picture": line.get("picture"),
        **_answer(line),
    }
    return made | {"whole": _length(made) < FITS_ON_A_PAGE}


def price(line: Told, currency: str) -> str:
    """£85; up to £85."""
    amount = sum_of(line.get("price") or 0, currency)
    return _("up to %(sum)s") % {"sum": amount} if line.get("up_to") else amount


def facts(line: Told, currency: str, all_lines: list[Told], need: str, fixed: bool) -> list[str]:
    """Short sentences: how much it is urged, its warranty, how it is priced, and what it hangs on."""
    found = [f"{Need(need).label}."] if need else []
    if months := line.get("months") or 0:
        if not fixed:
            found.append(
                ngettext("With %(n)s month of warranty.", "With %(n)s months of warranty.", months)
                % {"n": months}
            )
    if line.get("up_to") and (least := line.get("least")) is not None:
        found.append(
            _("It costs what it takes: %(least)s at the least, %(most)s at the most.")
            % {"least": sum_of(least, currency), "most": sum_of(line.get("price") or 0, currency)}
        )
    if line.get("minutes") and line.get("per_hour"):
        found.append(
            _("%(time)s at %(sum)s an hour.")
            % {"time": _time(line["minutes"]), "sum": sum_of(line["per_hour"], currency)}
        )
    if requires := line.get("requires"):
        found.append(_("Only together with: %(titles)s.") % {"titles": "; ".join(requires)})
    if others := _others(line, all_lines):
        found.append(_("Either this, or: %(titles)s.") % {"titles": "; ".join(others)})
    return found


def _others(line: Told, all_lines: list[Told]) -> list[str]:
    group = line.get("either")
    if group is None:
        return []
    return [
        other.get("title") or "" for other in all_lines if other.get("either") == group and other is not line
    ]


def _time(minutes: int) -> str:
    hours, rest = divmod(minutes, 60)
    parts = [_("%(n)s h") % {"n": hours}] if hours else []
    return " ".join(parts + ([_("%(n)s min") % {"n": rest}] if rest else []))


def _finding(finding: Told) -> dict[str, str]:
    mark, title = finding.get("certainty") or "", (finding.get("title") or "").rstrip(".")
    return {"mark": mark, "words": f"{Certainty(mark).label}: {title}." if mark else f"{title}."}


def _outcome(outcome: Told, currency: str) -> dict[str, Any]:
    follow_ons = outcome.get("follow_ons") or []
    then = ""
    if outcome.get("stops"):
        then = _("Then we stop there.")
    elif not follow_ons:
        then = _("Then there is nothing more to pay for it.")
    return {
        "title": outcome.get("title") or "",
        "share": outcome.get("share_words") or "",
        "then": then,
        "rows": [
            {
                "title": _with_months(each),
                "price": "+ " + sum_of(each.get("price") or 0, currency),
                **_answer(each),
            }
            for each in follow_ons
        ],
    }


def _with_months(follow_on: Told) -> str:
    title, months = follow_on.get("title") or "", follow_on.get("months") or 0
    if not months:
        return title
    said = ngettext("%(n)s month of warranty", "%(n)s months of warranty", months) % {"n": months}
    return f"{title} ({said})"


def _answer(line: Told) -> dict[str, Any]:
    yes = line.get("yes")
    return {"answer": "" if yes is None else _("Yes") if yes else _("No"), "no": yes is False}


def _length(line: dict[str, Any]) -> int:
    """Signs of text, with each short row counted as a line of them."""
    rows = sum(2 + len(out["rows"]) for out in line["outcomes"]) + len(line["findings"])
    texts = [line["title"], line["why"], *line["facts"], *(out["title"] for out in line["outcomes"])]
    more = [row["title"] for out in line["outcomes"] for row in out["rows"]]
    more += [finding["words"] for finding in line["findings"]]
    breaks: int = line["why"].count("\n")
    return sum(map(len, texts + more)) + 80 * (rows + breaks) + (400 if line["picture"] else 0)
