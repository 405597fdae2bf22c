"""An answered quote on paper says what was agreed, by whom, how, and what it comes to."""

import re

import pytest

from jobs.papers import answer, answering
from jobs.papers.sums import scale
from tests.jobs.papers import told
from tests.jobs.papers.reading import pdf, text


def test_it_begins_with_who_answered_and_when():
    made = text(answer(told.answer()))
    assert "What you agreed" in made
    assert "Orla Fennimore answered it on the page on 14 October 2026. It replaces quote 1." in made


def test_the_moment_is_in_the_workshops_time():
    assert "14 October 2026, 16:20 BST" in text(answer(told.answer()))


def test_an_answer_by_telephone_is_called_that_and_nobody_signed_it():
    made = text(answer(told.answer(decision=told.PHONED)))
    assert "Agreed by telephone; noted by Hester Quill. Nobody signed it." in made
    assert "What was signed" not in made


def test_a_refusal_by_telephone_is_called_that():
    made = text(
        answer(told.answer(decision=told.DECLINED | {"way": "telephone", "noted_by": "Hester Quill"}))
    )
    assert "Declined by telephone; noted by Hester Quill." in made
    assert "Agreed" not in made


def test_a_refusal_is_no_agreement():
    made = text(answer(told.answer(decision=told.DECLINED)))
    assert "You said no to the work" in made
    assert "I want none of this work." in made
    assert "What you agreed" not in made


def test_an_offer_says_that_nothing_is_agreed_and_has_no_answers():
    made = text(answer(told.offer()))
    assert "Nothing is agreed until you answer. It is good until 11 November 2026." in made
    assert not re.search(r"\b(Yes|No|answer)\b(?! )", made.replace("until you answer", ""))


def test_a_quote_that_adds_to_another_says_so():
    assert "It adds to quote 1, which stands." in text(answer(told.answer(adds_to=1, replaces=None)))


def test_a_code_that_was_used_is_named():
    made = text(answer(told.answer(decision=told.SIGNED | {"code_used": True})))
    assert "A code that we had sent was entered with it." in made


def test_the_button_is_quoted():
    assert "“Agree to the work and to pay for it”" in text(answer(told.answer()))


def test_every_line_stands_with_its_answer_its_price_and_its_reasons():
    made = text(answer(told.answer()))
    assert re.search(r"Free the winding gears.*Needed\. With 12 months.*Seen: A loose screw", made)
    assert "Measured: One second took 1.9 seconds." in made
    assert re.findall(r"(?:Yes|No) £\d+", made) == ["Yes £85", "Yes £60", "No £42"]


def test_post_is_no_choice_and_is_not_urged():
    line = answering.content(told.answer())["lines"][3]
    assert (line["need"], line["answer"], line["facts"]) == ("", "", [])


def test_the_outcomes_of_a_try_stand_with_their_shares_and_what_follows():
    made = text(answer(told.with_a_spread()))
    assert "It wipes off 14 of the last 20" in made
    assert "Then there is nothing more to pay for it." in made
    assert "Fit a sound rear lens group (12 months of warranty)" in made
    assert "Yes + £78" in made


def test_an_outcome_that_stops_says_so():
    stopped = told.try_first(
        outcomes=[{"title": "It cracks", "share_words": "", "stops": True, "follow_ons": []}]
    )
    assert "Then we stop there." in text(answer(told.answer(lines=[stopped])))


def facts(**changes):
    return answering.content(told.answer(lines=[told.line(**changes), told.line("The other", either=3)]))[
        "lines"
    ][0]


def test_a_price_that_is_a_limit_says_so():
    line = facts(up_to=True, least=4000)
    assert line["price"] == "up to £85"
    assert "It costs what it takes: £40 at the least, £85 at the most." in line["facts"]


def test_time_is_written_with_its_rate():
    assert "1 h 30 min at £48 an hour." in facts(minutes=90, per_hour=4800)["facts"]


def test_what_hangs_together_says_so():
    assert "Only together with: A; B." in facts(requires=["A", "B"])["facts"]
    assert "Either this, or: The other." in facts(either=3)["facts"]


def test_tax_that_is_included_is_named_under_the_sum():
    assert "VAT 20 % on £130.83 is £26.17; it is in the sum." in text(answer(told.answer()))


def test_tax_that_is_added_stands_in_the_sum_with_each_rate():
    groups = [
        {"rate_bp": 2000, "category": "S", "net": 14500, "due": 2900, "gross": 17400},
        {"rate_bp": 550, "category": "S", "net": 1000, "due": 55, "gross": 1055},
        {"rate_bp": 0, "category": "Z", "net": 1200, "due": 0, "gross": 1200},
    ]
    tax = {"mode": "added", "name": "VAT", "groups": groups}
    total = {"net": 16700, "tax": 2955, "gross": 19655}
    rows = answering.content(told.answer(tax=tax, total=total, credit=2500))["sums"]
    assert [(row["what"], row["amount"]) for row in rows] == [
        ("Examination, taken off again", "\u2212£25"),
        ("Without tax", "£167"),
        ("VAT 20 % on £145", "£29"),
        ("VAT 5.5 % on £10", "£0.55"),
        ("VAT, zero rated, on £12", "£0"),
        ("Together", "£196.55"),
    ]


def test_without_tax_the_word_does_not_stand_there():
    tax = {"mode": "none", "name": "VAT", "groups": []}
    made = text(answer(told.answer(tax=tax, total={"net": 15700, "tax": 0, "gross": 15700})))
    assert "VAT" not in made
    assert "Together £157" in made


def test_the_reach_the_ceiling_the_chance_and_the_deposit_are_said():
    made = text(answer(told.with_a_spread()))
    for words in ("lowest", "expected", "highest", "£195", "£218", "£273"):
        assert words in made
    assert "Before we pass the ceiling of £290, we stop and ask." in made
    assert "The chance that it stays within the ceiling: about 9 in 10." in made
    assert "To be paid before the work begins: £50." in made


@pytest.mark.parametrize(
    ("low", "mid", "high", "stop"),
    [(19500, 21800, 27300, 29000), (1, 2, 3, None), (0, 0, 5, 5), (99, 100, 10_000_000, 10_000_001)],
)
def test_the_marks_stand_in_order_on_the_rail(low, mid, high, stop):
    drawn = scale(told.with_a_spread(lowest=low, expected=mid, highest=high, ceiling=stop))
    places = [drawn["lowest"], drawn["expected"], drawn["highest"], drawn["ceiling"] or 1000]
    assert places == sorted(places)
    assert places[0] >= 0
    assert places[-1] <= 1000
    assert drawn["ticks"][0] == 0
    assert drawn["ticks"][-1] == 1000
    assert 2 <= len(drawn["ticks"]) <= 12


def test_where_nothing_is_spread_there_is_no_rail():
    assert scale(told.answer()) is None
    assert scale(told.with_a_spread(lowest=5, expected=5, highest=5, ceiling=None)) is None


def test_the_fingerprints_are_explained_and_say_where_they_are_compared():
    made = text(answer(told.answer()))
    assert "Our journal, up to entry 41" in made
    assert "compares them: https://tidewater.example.org/check/" in made
    assert "The workshop’s page “check this document” compares them." in text(
        answer(told.answer(check_url=""))
    )


def test_no_line_is_torn_over_pages_and_the_heads_come_again():
    pages = [page.extract_text() for page in pdf(answer(told.long_answer())).pages]
    for page in pages[:-2]:
        assert page.count(" of the work") + page.count("Clean the haze") == page.count("Seen:") + page.count(
            "Not known until tried:"
        )
        assert "price" in page


def test_the_totals_are_kept_together():
    pages = [page.extract_text() for page in pdf(answer(told.long_answer(47))).pages]
    page = next(page for page in pages if "What you agreed to pay" in page)
    assert "Together" in page
    assert "To be paid before the work begins" in page


def test_a_line_longer_than_a_page_goes_on_over_pages():
    made = pdf(answer(told.answer(lines=[told.line(why="word " * 3000)])))
    assert sum(page.extract_text().count("word") for page in made.pages) == 3000


def test_with_hardly_anything_told_it_is_still_a_paper():
    made = text(answer({"made_at": "2026-10-14T15:20:05+00:00", "currency": "JPY"}))
    assert "An offer, not yet answered" in made


def test_a_limit_that_is_counted_in_full_is_said_to_be():
    line = {**told.line(), "up_to": True, "least": 4000, "yes": True}
    assert "“Up to” prices are counted in full." in answering.content(told.answer(lines=[line]))["sum_notes"]
    line["yes"] = False
    assert (
        "“Up to” prices are counted in full." not in answering.content(told.answer(lines=[line]))["sum_notes"]
    )
