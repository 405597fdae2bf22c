"""What a revision changes is named, every bit of it, and nothing else."""

from copy import deepcopy

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.actions import quote
from jobs.actions.quote_lines import LineDraft, OutcomeDraft
from jobs.evidence import content
from jobs.revising import Change, changes, traced
from jobs.words import Stage


def line(pk, same_as=None, **told):
    return {
        "id": pk,
        "kind": "work",
        "need": "needed",
        "title": f"Line {pk}",
        "why": "",
        "price": 8500,
        "least": 0,
        "up_to": False,
        "minutes": None,
        "per_hour": None,
        "tax": {"category": "S", "rate_bp": 2000},
        "months": 12,
        "mechanism": "",
        "requires": [],
        "either": None,
        "same_as": same_as,
        "findings": [],
        "outcomes": [],
        **told,
    }


def told(*lines, **more):
    return {
        "currency": "GBP",
        "tax": {"mode": "included", "name": "VAT", "rate_bp": 2000},
        "valid_until": "2026-12-24",
        "deposit": 0,
        "credits_assessment": False,
        "if_declined": {"as": "", "note": ""},
        "work_waits": False,
        "note": "",
        "lines": list(lines),
        **more,
    }


def turn(pk, title, weight=1, follow_ons=(), seen=0, stops=False):
    return {
        "id": pk,
        "key": "",
        "title": title,
        "weight": weight,
        "seen": seen,
        "stops": stops,
        "follow_ons": list(follow_ons),
    }


def copied(old, by=100):
    """The same quote written anew, as a revision starts: other ids, each pointing at its origin."""
    new = deepcopy(old)

    def renamed(each):
        each["same_as"], each["id"] = each["id"], each["id"] + by
        each["requires"] = [pk + by for pk in each["requires"]]
        for outcome in each["outcomes"]:
            outcome["id"] += by
            for follow_on in outcome["follow_ons"]:
                renamed(follow_on)

    for each in new["lines"]:
        renamed(each)
    return new


amounts = st.integers(0, 100_000)
words = st.text("abc ’é", max_size=12)


@st.composite
def lines(draw, pk):
    more = {"price": draw(amounts), "why": draw(words), "months": draw(st.integers(0, 24))}
    if draw(st.booleans()):
        more |= {"minutes": draw(st.integers(1, 300)), "per_hour": draw(amounts)}
    if draw(st.booleans()):
        more["outcomes"] = [
            turn(pk * 10, "It wipes off", draw(st.integers(1, 9))),
            turn(pk * 10 + 1, "It has gone", 1, [line(pk * 10 + 2, price=draw(amounts))]),
        ]
    return line(pk, **more)


@st.composite
def quotes(draw):
    return told(*[draw(lines(pk)) for pk in range(1, draw(st.integers(1, 5)) + 1)], note=draw(words))


@given(quotes())
def test_a_copy_changes_nothing(old):
    assert changes(old, old) == []
    assert changes(old, copied(old)) == []


BITS = {
    "title": ("title", "Another title"),
    "words": ("why", "Because of that"),
    "price": ("price", 100_001),
    "need": ("need", "optional"),
    "kind": ("kind", "part"),
    "mechanism": ("mechanism", "lens"),
    "tax": ("tax", {"category": "E", "rate_bp": 0}),
    "months": ("months", 36),
    "time": ("minutes", 17),
    "findings": ("findings", [{"title": "A screw", "certainty": "seen", "digest": [], "photos": []}]),
    "outcomes": ("outcomes", [turn(1, "Ends", 7, stops=True), turn(2, "Goes on", 3)]),
}


@given(quotes(), st.data())
def test_every_changed_bit_is_named_with_its_line(old, data):
    new = copied(old)
    kind = data.draw(st.sampled_from(sorted(BITS)))
    place = data.draw(st.integers(0, len(old["lines"]) - 1))
    key, value = BITS[kind]
    changed = new["lines"][place]
    changed[key] = value
    if kind == "time":
        changed["per_hour"] = 6000
        old["lines"][place]["per_hour"] = None
    found = changes(old, new)
    assert kind in {each.kind for each in found if each.title == changed["title"]}
    assert all(each.before != each.after for each in found)


@given(quotes(), st.data())
def test_lines_that_come_and_go_are_named_with_their_price(old, data):
    new = copied(old)
    gone = new["lines"].pop(data.draw(st.integers(0, len(old["lines"]) - 1)))
    new["lines"].append(line(900, title="A new fork", price=9900))
    found = changes(old, new)
    assert Change("added", "A new fork", "", "£99") in found
    assert gone["title"] in {each.title for each in found if each.kind == "removed"}


@pytest.mark.parametrize(
    ("kind", "key", "value"),
    [
        ("note", "note", "The lens can wait."),
        ("until", "valid_until", "2027-01-24"),
        ("deposit", "deposit", 6000),
        ("credit", "credits_assessment", True),
        ("declined", "if_declined", {"as": "apart", "note": "All screws bagged."}),
        ("waits", "work_waits", True),
        ("tax", "tax", {"mode": "added", "name": "VAT", "rate_bp": 2000}),
    ],
)
def test_what_changes_for_the_whole_quote_is_named_once(kind, key, value):
    old = told(line(1))
    found = changes(old, copied(old) | {key: value})
    assert [(each.kind, each.title) for each in found] == [(kind, "")]


def test_a_price_says_what_it_was_and_what_it_is():
    old = told(line(1, price=8500))
    new = copied(old)
    new["lines"][0] |= {"price": 9250, "up_to": True, "least": 4000}
    assert changes(old, new) == [Change("price", "Line 1", "£85", "up to £92.50, at least £40")]


def test_what_a_line_needs_and_what_it_is_an_alternative_to_is_said_by_title():
    old = told(line(1), line(2), line(3))
    new = copied(old)
    new["lines"][1]["requires"] = [101]
    new["lines"][0]["either"] = new["lines"][2]["either"] = 1
    found = changes(old, new)
    assert Change("requires", "Line 2", "", "Line 1") in found
    assert Change("either", "Line 1", "", "Line 3") in found


def test_a_dearer_branch_is_named_like_any_line():
    old = told(line(1, outcomes=[turn(5, "Wipes off"), turn(6, "Gone", 1, [line(7, price=7800)])]))
    new = copied(old)
    new["lines"][0]["outcomes"][1]["follow_ons"][0]["price"] = 8900
    assert changes(old, new) == [Change("price", "Line 7", "£78", "£89")]


def test_a_quote_is_compared_across_the_one_between():
    first = told(line(1, price=8500))
    second = copied(first)
    third = copied(second, 1000)
    third["lines"][0]["price"] = 9900
    assert changes(first, traced(third, [second])) == [Change("price", "Line 1", "£85", "£99")]


def test_a_text_of_the_first_version_is_compared_as_well():
    bare = {
        "currency": "GBP",
        "tax": {"mode": "included", "name": "VAT", "rate_bp": 2000},
        "valid_until": "2026-12-24",
        "note": "",
        "lines": [
            {
                "id": 1,
                "kind": "work",
                "need": "needed",
                "title": "Line 1",
                "why": "",
                "price": 8500,
                "months": 12,
                "findings": [],
            }
        ],
    }
    assert changes(bare, told(line(101, same_as=1, title="Line 1"))) == []


def test_a_real_revision_is_known_line_by_line(cast):
    job = cast.job_at(Stage.EXAMINING)
    draft = quote.draft_quote(job)
    tried = [
        OutcomeDraft("It wipes off", 14),
        OutcomeDraft("It has gone", 6, follow_ons=[LineDraft("part", "needed", "A rear group", 7800)]),
    ]
    quote.put_line(draft, LineDraft("work", "needed", "Clean the haze", 3800, outcomes=tried))
    first = quote.send_quote(draft, cast.technician)
    fresh = quote.draft_quote(job)
    assert changes(content(first), content(fresh) | {"valid_until": first.valid_until.isoformat()}) == []
    haze = fresh.lines.asked().get()
    quote.put_line(fresh, LineDraft("work", "needed", "Clean the haze", 4200, outcomes=tried), haze)
    second = quote.send_quote(fresh, cast.technician)
    found = changes(content(first), content(second))
    assert Change("price", "Clean the haze", "£38", "£42") in found
    assert "A rear group" not in {
        each.title for each in found
    }  # the branch was written anew, but is the same
