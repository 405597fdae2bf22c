"""How tries turn out: the library's guess, moved by our own counts."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.library import get
from jobs.library.facts import examples
from jobs.odds import IN_ALL, counts, odds, of_twenty
from tests.cast import Cast
from tests.jobs.actions.test_trying import come_out, in_work, send_try

HAZE = "lens/haze-inside"


def haze() -> list[tuple[str, int, int]]:
    entry = get(HAZE)
    return [(odd.key, odd.weight, odd.seen) for odd in odds(entry, examples(entry.fields))]


@pytest.mark.django_db
def test_without_counts_of_our_own_the_librarys_guess_stands() -> None:
    assert haze() == [(f"{HAZE}:clears", 12, 0), (f"{HAZE}:better", 5, 0), (f"{HAZE}:stays", 3, 0)]


@pytest.mark.django_db
def test_the_words_are_this_cameras() -> None:
    entry = get(HAZE)
    assert odds(entry, examples(entry.fields))[0].text.startswith("It was a film on the glass.")


@pytest.mark.django_db
def test_an_entry_whose_facts_are_not_noted_has_no_odds() -> None:
    assert odds(get(HAZE), {}) == []


def test_what_came_out_at_our_bench_is_counted_and_moves_the_guess(cast: Cast) -> None:
    come_out(cast, in_work(cast, send_try(cast), branch=False), "It wipes off")
    assert counts([f"{HAZE}:clears", f"{HAZE}:stays"]) == {f"{HAZE}:clears": 1, f"{HAZE}:stays": 0}
    # Eight jobs' worth of 12:5:3 and one that cleared: 8*12+20 : 8*5 : 8*3, divided by four
    assert haze() == [(f"{HAZE}:clears", 29, 1), (f"{HAZE}:better", 10, 0), (f"{HAZE}:stays", 6, 0)]


@pytest.mark.django_db
def test_no_keys_are_no_counts() -> None:
    assert counts([]) == {}


@pytest.mark.parametrize(
    ("weights", "shares"),
    [
        ([12, 5, 3], [12, 5, 3]),
        ([1, 1, 1], [7, 7, 6]),
        ([29, 10, 6], [13, 4, 3]),
        ([999, 1], [19, 1]),
        ([5], [20]),
    ],
)
def test_weights_are_told_as_so_many_of_twenty(weights: list[int], shares: list[int]) -> None:
    assert of_twenty(weights) == shares


@given(st.lists(st.integers(1, 10**6), min_size=1, max_size=12))
def test_shares_come_to_twenty_and_nothing_that_may_happen_gets_none(weights: list[int]) -> None:
    shares = of_twenty(weights)
    assert sum(shares) == IN_ALL
    assert min(shares) >= 1


@given(st.lists(st.integers(1, 10**6), min_size=2, max_size=12))
def test_what_is_likelier_never_has_the_smaller_share(weights: list[int]) -> None:
    shares = of_twenty(weights)
    for weight, share in zip(weights, shares, strict=True):
        assert all(share >= less for other, less in zip(weights, shares, strict=True) if weight > other)


@pytest.mark.parametrize("weights", [[0, 1], [-1, 3]])
def test_what_never_happens_has_no_share(weights: list[int]) -> None:
    with pytest.raises(ValueError, match=r"-1|0"):
        of_twenty(weights)
