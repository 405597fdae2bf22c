"""Learning from closed jobs: what is counted, what is not said, and what a ranking makes of it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.learning import FEWEST, Case, Count, Learned

SPACER, LOCK, HAZE = "body/spacer-fallen-in", "transport/release-dead-after-winding", "lens/haze-inside"


def case(symptoms: str, true: str = "", traits: str = "") -> Case:
    return Case(frozenset(symptoms.split()), frozenset(traits.split()), frozenset(true.split()))


SLACK = [case("lever-slack rattle", SPACER)] * 7 + [case("lever-slack rattle counter-stuck", LOCK)] * 2


def test_such_stories_are_those_with_every_symptom_of_this_one() -> None:
    learned = Learned((*SLACK, case("lever-slack", LOCK), case("rattle", HAZE)))
    assert learned.counts(["lever-slack", "rattle"]) == [Count(SPACER, 7, 9), Count(LOCK, 2, 9)]


def test_a_story_with_nothing_behind_it_counts_among_the_stories() -> None:
    learned = Learned((*[case("rattle", SPACER)] * 2, case("rattle")))
    assert learned.counts(["rattle"]) == [Count(SPACER, 2, 3)]


def test_one_job_may_make_two_explanations_true() -> None:
    learned = Learned(tuple([case("rattle", f"{SPACER} {HAZE}")] * 3))
    assert {count.explanation: count.hits for count in learned.counts(["rattle"])} == {SPACER: 3, HAZE: 3}


def test_with_fewer_than_three_such_stories_it_says_nothing() -> None:
    cases = tuple([case("rattle", SPACER)] * (FEWEST - 1))
    assert Learned(cases).counts(["rattle"]) == []
    assert Learned((*cases, case("rattle"))).counts(["rattle"]) != []


def test_a_story_without_any_known_symptom_is_like_no_other() -> None:
    assert Learned(tuple(SLACK)).counts([]) == []


def test_a_count_carries_its_interval() -> None:
    assert Count(SPACER, 7, 9).interval == pytest.approx((0.4526, 0.9368), abs=0.0001)


def test_the_ranking_follows_symptoms_and_traits() -> None:
    learned = Learned(
        (
            *[case("pictures-soft", HAZE, "fixed_lens")] * 3,
            *[case("pictures-soft", LOCK, "reflex")] * 3,
        )
    )
    assert learned.ranking(["pictures-soft"], ["reflex"])[0][0] == LOCK
    assert learned.ranking(["pictures-soft"], ["fixed_lens"])[0][0] == HAZE


def test_a_share_worked_by_hand() -> None:
    """Two explanations, true 2 and 1 times; four things were ever seen. With alpha 1: priors 3/5 and 2/5; "a" after the first
    (2 + 1) / (3 + 4) = 3/7, after the second (0 + 1) / (2 + 4) = 1/6; so 9/35 against 1/15: 27/34.
    """
    learned = Learned((case("a", HAZE), case("a b", HAZE), case("c d", LOCK)))
    assert dict(learned.ranking(["a"], []))[HAZE] == pytest.approx(27 / 34)


def test_what_no_case_ever_had_changes_no_share() -> None:
    learned = Learned(tuple(SLACK))
    assert learned.ranking(["rattle", "never-heard-of"], []) == learned.ranking(["rattle"], [])


def test_a_product_too_small_for_the_machine_still_makes_shares() -> None:
    """Each of 800 symptoms: (1 + 1) / (800 + 801) after the first, 1 / (1 + 801) after the second; the powers are below 10 ** -2000."""
    many = " ".join(f"s{number}" for number in range(800))
    learned = Learned((case(many, HAZE), case("other", LOCK)))
    shares = dict(learned.ranking(many.split(), []))
    odds = (2 / 1601 * 802) ** 800
    assert shares[HAZE] == pytest.approx(odds / (odds + 1), rel=1e-9)


def test_cases_that_tell_of_nothing_are_ranked_by_how_often_they_were_true() -> None:
    learned = Learned((case("", HAZE), case("", HAZE), case("", LOCK)))
    assert dict(learned.ranking([], [])) == pytest.approx({HAZE: 3 / 5, LOCK: 2 / 5})


def test_without_cases_there_is_nothing_to_rank() -> None:
    assert Learned(()).ranking(["rattle"], ["reflex"]) == []


def test_an_alpha_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="alpha"):
        Learned((), alpha=0)


CASES = st.lists(
    st.builds(
        Case,
        st.frozensets(st.sampled_from("abcdef")),
        st.frozensets(st.sampled_from("xyz")),
        st.frozensets(st.sampled_from([HAZE, LOCK, SPACER])),
    ),
    max_size=25,
)


@given(CASES, st.frozensets(st.sampled_from("abcdef")), st.frozensets(st.sampled_from("xyz")))
def test_shares_are_shares_and_counts_are_counts(
    cases: list[Case], symptoms: frozenset[str], traits: frozenset[str]
) -> None:
    learned = Learned(tuple(cases))
    shares = [share for _key, share in learned.ranking(symptoms, traits)]
    assert not shares or sum(shares) == pytest.approx(1)
    assert shares == sorted(shares, reverse=True)
    assert all(0 < count.hits <= count.tries <= len(cases) for count in learned.counts(symptoms))
