from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.adding_up import Item, Reckoned, Sheet, Turn, as_done, faults, reckon, tidy
from jobs.quoting import Tax
from jobs.words import TaxMode

USUAL, REDUCED = Tax("S", 2000), Tax("S", 500)


def item(pk: int, price: int = 1000, **more: object) -> Item:
    said = {"kind": "work", "need": "needed", "title": f"Line {pk}", "least": price, "tax": USUAL, **more}
    return Item(id=pk, price=price, **said)  # type: ignore[arg-type]


def sheet(*items: Item, mode: TaxMode = TaxMode.INCLUDED, credits: bool = False) -> Sheet:
    return Sheet(mode, items, credits)


HAZE = item(
    1,
    3800,
    turns=(
        Turn(101, "It wipes off", 14),
        Turn(102, "The glass has gone", 6, follow_ons=(item(11, 7800), item(12, 0))),
    ),
)


# --- answers that can be given --------------------------------------------------------------------------------------


def test_a_line_cannot_be_asked_for_without_what_it_needs() -> None:
    quote = sheet(item(1), item(2, requires=frozenset({1})))
    (fault,) = faults(quote, {2})
    assert (fault.kind, fault.id, fault.other) == ("needs", 2, "Line 1")


def test_with_what_it_needs_it_can() -> None:
    assert faults(sheet(item(1), item(2, requires=frozenset({1}))), {1, 2}) == []


def test_what_comes_with_the_job_is_always_there_to_be_needed() -> None:
    assert faults(sheet(item(1, kind="carriage"), item(2, requires=frozenset({1}))), {2}) == []


def test_of_alternatives_only_one_can_be_chosen() -> None:
    quote = sheet(item(1, either=7), item(2, either=7))
    assert [fault.kind for fault in faults(quote, {1, 2})] == ["either"]
    assert faults(quote, {2}) == []


def test_one_branch_of_an_outcome_can_be_agreed_and_not_two() -> None:
    assert faults(sheet(HAZE), {1, 11}) == []
    assert [fault.kind for fault in faults(sheet(HAZE), {1, 11, 12})] == ["branches"]


def test_a_line_that_the_quote_does_not_have_is_named() -> None:
    assert [fault.kind for fault in faults(sheet(item(1)), {1, 99})] == ["unknown"]


def test_a_branch_of_a_line_that_was_refused_counts_for_nothing() -> None:
    assert tidy(sheet(HAZE, item(2)), {2, 11}) == {2}


# --- sums -----------------------------------------------------------------------------------------------------------


def test_lowest_expected_and_highest_are_those_of_the_agreed_branches() -> None:
    found = reckon(sheet(HAZE), {1, 11})
    # 14 of 20 end at 38, 6 of 20 at 116: on average 61.40
    assert (found.lowest, found.expected, found.highest) == (3800, 6140, 11600)


def test_a_branch_that_was_not_agreed_costs_nothing_yet() -> None:
    found = reckon(sheet(HAZE), {1})
    assert (found.lowest, found.highest, found.is_open) == (3800, 3800, False)


def test_what_stops_adds_nothing_whatever_stands_there() -> None:
    stopped = replace(HAZE, turns=(HAZE.turns[0], replace(HAZE.turns[1], stops=True)))
    assert reckon(sheet(stopped), {1, 11}).highest == 3800


def test_an_up_to_price_counts_in_full_and_its_least_only_in_the_lowest() -> None:
    found = reckon(sheet(item(1, 6000, least=4000, up_to=True), item(2, 1000)), {1, 2})
    assert (found.lowest, found.expected, found.highest) == (5000, 7000, 7000)


def test_the_chance_of_staying_under_a_ceiling_is_that_of_the_branches() -> None:
    spread = reckon(sheet(HAZE), {1, 11}).spread
    assert spread.chance_within(3799) == 0
    assert spread.chance_within(3800) == pytest.approx(0.7)
    assert spread.chance_within(11600) == 1


def test_the_examination_is_taken_off_again_when_work_is_agreed() -> None:
    quote = sheet(item(1, 8500), item(2, 2500, kind="assessment"), credits=True)
    assert (reckon(quote, {1}).total.gross, reckon(quote, {1}).credit) == (8500, 2500)
    assert (reckon(quote, ()).total.gross, reckon(quote, ()).credit) == (2500, 0)


def test_no_more_is_taken_off_than_the_work_comes_to() -> None:
    quote = sheet(item(1, 900), item(2, 2500, kind="assessment"), credits=True)
    assert reckon(quote, {1}).total.gross == 2500


def test_tax_of_two_rates_is_worked_out_for_each_on_its_sum() -> None:
    quote = sheet(item(1, 10000), item(2, 999, tax=REDUCED), item(3, 999, tax=REDUCED), mode=TaxMode.ADDED)
    found = reckon(quote, {1, 2, 3}).total
    # 2000 on 10000; 5 % of 1998 is 99.9, rounded once: 100
    assert (found.net, found.tax) == (11998, 2100)


def test_what_is_chosen_beforehand_is_what_is_needed_and_the_first_of_alternatives() -> None:
    quote = sheet(item(1, either=1), item(2, either=1), item(3, need="advised"), item(4, kind="carriage"))
    assert quote.needed == {1}


def test_everything_counts_the_dearest_of_alternatives_and_of_branches() -> None:
    quote = sheet(item(5, 100, either=1), item(6, 900, either=1), HAZE)
    assert quote.everything == {6, 1, 11}


def test_what_is_owed_counts_final_prices_and_branches_that_came_about() -> None:
    quote = sheet(HAZE, item(2, 6000, least=4000, up_to=True))
    rows, sums = as_done(quote, {1, 2, 11}, {11}, {2: 4500})
    assert sums.gross == 3800 + 7800 + 4500
    assert rows == [("Line 1", 3800), ("Line 2", 4500), ("Line 11", 7800)]


# --- whatever the quote ---------------------------------------------------------------------------------------------


@st.composite
def sheets(draw: st.DrawFn) -> Sheet:
    rates = st.sampled_from([USUAL, REDUCED, Tax("E"), Tax("Z")])
    items = []
    for n in range(draw(st.integers(1, 6))):
        price = draw(st.integers(0, 50_000))
        up_to = draw(st.booleans())
        turns = ()
        if draw(st.integers(0, 3)) == 0:
            turns = tuple(
                Turn(
                    1000 + 10 * n + k,
                    "Turn",
                    draw(st.integers(1, 20)),
                    stops=draw(st.booleans()),
                    follow_ons=(item(5000 + 10 * n + k, draw(st.integers(0, 9_000)), tax=draw(rates)),),
                )
                for k in range(2)
            )
        items.append(
            item(
                n + 1,
                price,
                kind=draw(st.sampled_from(["work", "part", "carriage", "assessment"])),
                tax=draw(rates),
                up_to=up_to,
                least=draw(st.integers(0, price)) if up_to else price,
                turns=turns,
            )
        )
    return sheet(*items, mode=draw(st.sampled_from(list(TaxMode))), credits=draw(st.booleans()))


answers = st.sets(st.integers(1, 6) | st.integers(5000, 5060))


def numbers(found: Reckoned) -> tuple[object, ...]:
    return found.total, found.lowest, found.spread.expected, found.highest, found.credit


@given(sheets(), answers, st.randoms(use_true_random=False))
def test_the_order_of_lines_never_changes_a_sum(quote: Sheet, yes: set[int], random: object) -> None:
    shuffled = list(quote.items)
    random.shuffle(shuffled)  # type: ignore[attr-defined]
    assert numbers(reckon(replace(quote, items=tuple(shuffled)), yes)) == numbers(reckon(quote, yes))


@given(sheets(), answers)
def test_the_rows_shown_add_up_to_the_total_shown(quote: Sheet, yes: set[int]) -> None:
    found = reckon(quote, yes)
    shown = sum(price for _title, price in found.rows) - found.credit
    assert shown == (found.total.net if quote.mode == TaxMode.ADDED else found.total.gross)
    assert found.total.net + found.total.tax == found.total.gross


@given(sheets(), answers)
def test_lowest_expected_and_highest_stand_in_their_order(quote: Sheet, yes: set[int]) -> None:
    found = reckon(quote, yes)
    assert found.lowest <= found.spread.expected <= found.highest
    assert found.lowest <= found.total.gross <= found.highest


@given(sheets(), answers)
def test_saying_yes_to_more_never_costs_less(quote: Sheet, yes: set[int]) -> None:
    least = reckon(quote, ()).total.gross
    if not quote.credits_assessment:
        assert reckon(quote, yes).total.gross >= least


@given(sheets(), answers)
def test_what_is_owed_before_anything_is_tried_is_the_certain_part(quote: Sheet, yes: set[int]) -> None:
    _rows, sums = as_done(quote, yes, (), {})
    assert sums == reckon(quote, yes).total
