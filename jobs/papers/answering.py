"""A quote with its answer, or an offer that waits for one, in words."""

from typing import Any

from django.utils.translation import gettext as _

from jobs.papers import lines, sums
from jobs.papers.words import Told, day, day_and_time, foot, grouped, letterhead, shared


def content(told: Told) -> dict[str, Any]:
    """What templates/documents/answer.typ sets, from plain values; money in minor units, moments in ISO 8601.

    Needed: "made_at", "currency". Optional: "house" {name, place, address, telephone, email}, "customer" {name, address},
    "ref", "item", "quote_n", "adds_to", "replaces", "tax" {mode, name, groups [{rate_bp, category, net, due, gross}]},
    "lines" (see jobs.papers.lines), "credit" (what is taken off; it is within the total), "total" {net, tax, gross}, "lowest",
    "expected", "highest", "ceiling", "chance", "deposit", "decision" (None, or {name, at, way: page or telephone, noted_by,
    sentence, button, code_used, yes_to_nothing}), "terms", "valid_until", "shown_hash", "record_hash", "journal_hash",
    "journal_seq", "check_url".
    """
    decision = told.get("decision")
    n = told.get("quote_n")
    headline = _headline(decision)
    return letterhead(told) | {
        "title": " · ".join(part for part in (told.get("ref") or "", headline) if part),
        "headline": headline,
        "lede": _lede(told, decision),
        "words": shared() | _words(decision),
        "lines": lines.shown(told.get("lines") or [], told["currency"]),
        "sums": sums.rows(told),
        "sum_notes": sums.notes(told),
        "scale": sums.scale(told),
        "decision": _decision(decision) if decision else None,
        "terms": list(told.get("terms") or []),
        "prints": _prints(told),
        "prints_words": _prints_words(told),
        # Into the file's own description: by it the page that checks documents knows what a changed copy was.
        "keywords": [each for each in [told.get("record_hash") or told.get("shown_hash")] if each],
        "foot": foot(
            told,
            _("quote %(n)s") % {"n": n} if n else "",
            told.get("record_hash") or told.get("shown_hash") or "",
        ),
    }


def _headline(decision: Told | None) -> str:
    if not decision:
        return _("An offer, not yet answered")
    return _("You said no to the work") if decision.get("yes_to_nothing") else _("What you agreed")


def _lede(told: Told, decision: Told | None) -> list[str]:
    found = []
    if told.get("adds_to"):
        found.append(_("It adds to quote %(n)s, which stands.") % {"n": told["adds_to"]})
    if told.get("replaces"):
        found.append(_("It replaces quote %(n)s.") % {"n": told["replaces"]})
    if decision:
        return [_how(decision), *found]
    if told.get("valid_until"):
        found.append(_("It is good until %(day)s.") % {"day": day(told["valid_until"])})
    return [_("Nothing is agreed until you answer."), *found]


def _how(decision: Told) -> str:
    """How it was decided, plainly: nobody signed on the telephone."""
    by = {"name": decision.get("name") or "", "by": decision.get("noted_by") or ""}
    if decision.get("way") != "telephone":
        said = by | {"day": day(decision["at"])} if decision.get("at") else by
        return (
            _("%(name)s answered it on the page on %(day)s.") % said
            if "day" in said
            else _("Answered on the page.")
        )
    if decision.get("yes_to_nothing"):
        return _("Declined by telephone; noted by %(by)s.") % by if by["by"] else _("Declined by telephone.")
    return _("Agreed by telephone; noted by %(by)s.") % by if by["by"] else _("Agreed by telephone.")


def _decision(decision: Told) -> dict[str, Any]:
    """A name is set as a signature only where somebody typed it."""
    phoned = decision.get("way") == "telephone"
    name = decision.get("name") or ""
    when = day_and_time(decision["at"]) if decision.get("at") else ""
    how = [", ".join(part for part in (name if phoned else "", when) if part)]
    if phoned:
        how.append(_how(decision) + " " + _("Nobody signed it."))
    if decision.get("button"):
        how.append(_("The button that was pressed: “%(words)s”") % {"words": decision["button"]})
    if decision.get("code_used"):
        how.append(_("A code that we had sent was entered with it."))
    return {
        "name": name,
        "signed": bool(name) and not phoned,
        "sentence": decision.get("sentence") or "",
        "how": [each for each in how if each],
    }


def _words(decision: Told | None) -> dict[str, str]:
    if not decision:
        sums_words = _("What it comes to")
    elif decision.get("yes_to_nothing"):
        sums_words = _("What it costs")
    else:
        sums_words = _("What you agreed to pay")
    phoned = bool(decision) and (decision or {}).get("way") == "telephone"
    return {
        "lines": _("Line by line"),
        "what": _("what"),
        "answer": _("answer"),
        "price": _("price"),
        "sums": sums_words,
        "decision": _("What was answered by telephone") if phoned else _("What was signed"),
        "terms": _("The terms"),
        "prints": _("Fingerprints"),
    }


def _prints(told: Told) -> list[dict[str, str]]:
    seq = told.get("journal_seq")
    named = [
        (_("What was on the page"), told.get("shown_hash")),
        (_("The answer, as we keep it"), told.get("record_hash")),
        (
            _("Our journal, up to entry %(n)s") % {"n": seq} if seq else _("Our journal"),
            told.get("journal_hash"),
        ),
    ]
    return [{"what": what, "groups": grouped(value)} for what, value in named if value]


def _prints_words(told: Told) -> str:
    said = _(
        "Each is worked out (SHA-256) from the exact content that it names: change one letter there, and it is another."
    )
    if url := told.get("check_url"):
        return f"{said} " + _("The page “check this document” compares them: %(url)s") % {"url": url}
    return f"{said} " + _("The workshop’s page “check this document” compares them.")
