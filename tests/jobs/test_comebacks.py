from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.comebacks import FEW, Mended, in_words, tallies
from jobs.words import Mechanism


def rows(mechanism: str, mended: int, came_back: int, same: int = 0) -> list[Mended]:
    return [Mended(mechanism, n < came_back, n < same) for n in range(mended)]


def test_each_mechanism_is_counted_by_itself() -> None:
    lens, transport = tallies([*rows("transport", 31, 2, 1), *rows("lens", 10, 5)])
    assert (lens.mechanism, lens.mended, lens.came_back, lens.same_again) == ("lens", 10, 5, 0)
    assert (transport.mechanism, transport.mended, transport.came_back, transport.same_again) == (
        "transport",
        31,
        2,
        1,
    )


def test_a_share_says_how_far_it_can_be_trusted() -> None:
    (tally,) = tallies(rows("transport", 30, 1))
    # R's binom.confint(method = "wilson") for 1 of 30
    assert (tally.low, tally.high) == pytest.approx((0.0059085904, 0.1667039099), abs=5e-10)
    assert tally.share == pytest.approx(1 / 30)


def test_what_surely_comes_back_stands_before_what_came_back_once() -> None:
    often, once = rows("lens", 40, 20), rows("seals", 5, 3)
    assert [each.mechanism for each in tallies([*once, *often])] == ["lens", "seals"]


def test_a_few_stand_last_and_say_so() -> None:
    found = tallies([*rows("body", FEW - 1, FEW - 1), *rows("lens", 20, 0)])
    assert [each.mechanism for each in found] == ["lens", "body"]
    assert in_words(found[1]) == "4 of 4 came back; too few to say more"


@pytest.mark.parametrize(
    ("mended", "came_back", "words"),
    [
        (31, 2, "2 of 31 came back; 2 to 21 in a hundred"),
        (31, 0, "None of 31 came back; at most 11 in a hundred"),
        (31, 31, "31 of 31 came back; 89 to 100 in a hundred"),
        (3, 0, "0 of 3 came back; too few to say more"),
    ],
)
def test_it_is_told_in_words(mended: int, came_back: int, words: str) -> None:
    assert in_words(tallies(rows("lens", mended, came_back))[0]) == words


def test_nothing_mended_is_nothing_to_tell() -> None:
    assert tallies([]) == []


def test_the_same_cannot_fail_again_in_what_did_not_come_back() -> None:
    with pytest.raises(ValueError):
        Mended("lens", came_back=False, same_again=True)


mended = st.builds(
    lambda mechanism, fate: Mended(mechanism, fate > 0, fate > 1),
    st.sampled_from(Mechanism.values),
    st.integers(min_value=0, max_value=2),
)


@given(st.lists(mended), st.randoms(use_true_random=False))
def test_the_order_of_the_rows_does_not_matter_and_none_is_lost(found: list[Mended], random: Random) -> None:
    shuffled = list(found)
    random.shuffle(shuffled)
    assert tallies(found) == tallies(shuffled)
    assert sum(each.mended for each in tallies(found)) == len(found)
    assert sum(each.came_back for each in tallies(found)) == sum(row.came_back for row in found)
    assert all(each.low <= each.share <= each.high for each in tallies(found))
