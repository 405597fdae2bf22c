import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs import refs

numbers = st.integers(min_value=0, max_value=32**6 - 1)


@given(numbers)
def test_what_is_encoded_decodes(number: int) -> None:
    assert refs.decode(refs.encode(number)) == number


@given(numbers, st.integers(0, 6), st.sampled_from(refs.DIGITS))
def test_one_mistyped_symbol_is_always_noticed(number: int, place: int, symbol: str) -> None:
    ref = refs.encode(number)
    wrong = ref[:place] + symbol + ref[place + 1 :]
    if wrong != ref:
        with pytest.raises(refs.BadRef):
            refs.decode(wrong)


def test_people_may_type_it_as_they_like() -> None:
    ref = refs.draw()
    assert refs.tidy(f" {ref[:4].lower()}-{ref[4:]} ") == ref


@pytest.mark.parametrize("text", ["", "ABC", "4TM7QK!", "4TM7QKRR", "<script>"])
def test_anything_else_is_refused(text: str) -> None:
    with pytest.raises(refs.BadRef):
        refs.decode(text)


def test_references_that_are_issued_can_be_typed_on_any_keyboard() -> None:
    assert all(refs.draw().isalnum() for _ in range(200))


def test_a_reference_is_shown_in_two_groups() -> None:
    assert refs.show("4TM7QKR") == "4TM7-QKR"
