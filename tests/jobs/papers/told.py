"""Documents for tests: an answered quote and a warranty, as plain values."""

from typing import Any

from jobs.canonical import digest

HOUSE = {
    "name": "Tidewater Camera Works",
    "place": "Saltmere",
    "address": "12 Quay Street\nSaltmere",
    "telephone": "01632 960123",
    "email": "bench@tidewater.example.org",
}
CUSTOMER = {"name": "Orla Fennimore", "address": "3 Harbour Row\nSaltmere"}
SIGNED: dict[str, Any] = {
    "name": "Orla Fennimore",
    "at": "2026-10-14T15:20:00+00:00",
    "way": "page",
    "noted_by": "",
    "sentence": "I agree to the work marked yes, within a ceiling of £290, and to pay for it when it is done.",
    "button": "Agree to the work and to pay for it",
    "code_used": False,
    "yes_to_nothing": False,
}
PHONED = SIGNED | {"way": "telephone", "noted_by": "Hester Quill", "button": ""}
DECLINED = SIGNED | {
    "sentence": "I want none of this work. Send it back as it is.",
    "button": "Send it back as it is",
    "yes_to_nothing": True,
}


def line(title: str = "Free the winding gears, refit the screw", **changes: Any) -> dict[str, Any]:
    """One line that was agreed to."""
    return {
        "id": 1,
        "kind": "work",
        "need": "needed",
        "title": title,
        "why": "Top cover off, gears cleaned and greased, the screw back in its thread and locked. "
        "Without this the camera cannot wind on.",
        "price": 8500,
        "months": 12,
        "up_to": False,
        "least": 0,
        "minutes": None,
        "per_hour": None,
        "requires": [],
        "either": None,
        "yes": True,
        "findings": [
            {"title": "A loose screw had jammed the gears", "certainty": "seen", "digest": digest("a")}
        ],
        "outcomes": [],
    } | changes


def try_first(**changes: Any) -> dict[str, Any]:
    """A line whose outcome nobody knows yet."""
    fit = {"title": "Fit a sound rear lens group", "price": 7800, "months": 12, "yes": True}
    leave = {"title": "Leave it, refit the lens", "price": 0, "months": 0, "yes": False}
    return (
        line(
            "Clean the haze from the lens",
            why="Nobody can say beforehand whether haze will clear. So we try, and you decide now what follows.",
            price=3800,
            months=3,
            findings=[
                {"title": "Haze behind the front glass", "certainty": "untried", "digest": digest("b")}
            ],
            outcomes=[
                {
                    "title": "It wipes off",
                    "share_words": "14 of the last 20",
                    "stops": False,
                    "follow_ons": [],
                },
                {
                    "title": "The glass has gone",
                    "share_words": "6 of the last 20",
                    "stops": False,
                    "follow_ons": [leave, fit],
                },
            ],
        )
        | changes
    )


def answer(**changes: Any) -> dict[str, Any]:
    """A quote of two lines and its post, agreed to on the page."""
    lines = [
        line(),
        line(
            "Clean and set the slow times",
            id=2,
            need="advised",
            why="From 1 second to 1/8 they run long. With slide film you would see it; with print film hardly.",
            price=6000,
            findings=[
                {"title": "One second took 1.9 seconds", "certainty": "measured", "digest": digest("c")}
            ],
        ),
        line(
            "New covering on the front",
            id=3,
            need="optional",
            why="The old one has shrunk at two corners. It is only looks.",
            price=4200,
            months=0,
            findings=[],
            yes=False,
        ),
        line("Insured post", id=4, kind="carriage", why="", price=1200, months=0, findings=[], yes=None),
    ]
    return {
        "house": HOUSE,
        "customer": CUSTOMER,
        "ref": "4TM7-QKR",
        "item": "Corvane Skerry",
        "made_at": "2026-10-14T15:20:05+00:00",
        "quote_n": 2,
        "adds_to": None,
        "replaces": 1,
        "currency": "GBP",
        "tax": {
            "mode": "included",
            "name": "VAT",
            "groups": [{"rate_bp": 2000, "category": "S", "net": 13083, "due": 2617, "gross": 15700}],
        },
        "lines": lines,
        "credit": 0,
        "total": {"net": 13083, "tax": 2617, "gross": 15700},
        "lowest": None,
        "expected": None,
        "highest": None,
        "ceiling": None,
        "chance": "",
        "deposit": 0,
        "decision": SIGNED,
        "terms": [
            "We do the work marked yes, and no other.",
            "You pay when it is done. We keep the camera until then.",
            "If we find something new, we stop and ask.",
        ],
        "valid_until": "2026-11-11",
        "shown_hash": digest("shown"),
        "record_hash": digest("record"),
        "journal_hash": digest("journal"),
        "journal_seq": 41,
        "check_url": "https://tidewater.example.org/check/",
    } | changes


def with_a_spread(**changes: Any) -> dict[str, Any]:
    """An answer with a line that is tried first, so that it has a reach and a ceiling."""
    spread = {"lowest": 19500, "expected": 21800, "highest": 27300, "ceiling": 29000}
    lines = [try_first(id=9), *answer()["lines"]]
    return answer(lines=lines, chance="about 9 in 10", deposit=5000, **spread) | changes


def long_answer(count: int = 60) -> dict[str, Any]:
    """A quote of `count` lines."""
    needs = ["needed", "advised", "optional"]
    lines = [
        try_first(id=n, yes=n % 3 != 0)
        if n % 10 == 5
        else line(f"Line {n} of the work", id=n, need=needs[n % 3], yes=n % 4 != 0)
        for n in range(1, count + 1)
    ]
    return with_a_spread(lines=lines)


def offer() -> dict[str, Any]:
    """The same quote before anybody answered it."""
    lines = [each | {"yes": None} for each in answer()["lines"]]
    return answer(decision=None, lines=lines, record_hash="", replaces=None)


def cover(what: str = "Winding on", until: str | None = "2027-11-02", months: int = 12) -> dict[str, Any]:
    why_not = "" if until else "It ran half a stop slow before and after; setting it would strain the spring."
    return {"what": what, "mechanism": "transport", "until": until, "months": months, "why_not": why_not}


def warranty(**changes: Any) -> dict[str, Any]:
    """Two promises and one thing that is not covered."""
    return {
        "house": HOUSE,
        "customer": CUSTOMER,
        "ref": "4TM7-QKR",
        "item": "Corvane Skerry",
        "made_at": "2026-11-02T10:00:00+00:00",
        "starts_on": "2026-11-02",
        "covers": [cover(), cover("Clear lens", "2027-02-02", 3), cover("Top speed, 1/500", None, 0)],
        "aftercare": ["Wind on once a month, also without film.", "Set the time before you wind, not after."],
        "terms": ["We mend again what we mended, at no charge.", "A fall or water is not covered."],
    } | changes
